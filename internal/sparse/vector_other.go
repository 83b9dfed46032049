//go:build !amd64

package sparse

const haveVector = false
