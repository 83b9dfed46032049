//go:build !amd64

package sparse

func setVector(bool) {}
