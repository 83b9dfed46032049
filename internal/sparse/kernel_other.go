//go:build !amd64

package sparse

const haveVector = false

func vectorTile8(k int, a, b0, b1 *float64, sb int, c0, c1 *float64, sc int) {
	panic("sparse: no vector kernel here")
}

func vectorTile4(k int, a, b *float64, sb int, c *float64, sc int) {
	panic("sparse: no vector kernel here")
}
