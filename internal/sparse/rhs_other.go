//go:build !amd64

package sparse

func vectorProduct(n, ld int, a *float64, step, depth int, v *float64, k int, y *float64, rows *int32) {
	panic("sparse: no vector kernel here")
}

func vectorTransposed(n, ld int, a *float64, step, grow, column, m int, z *float64, k int, y *float64,
	rows *int32) {
	panic("sparse: no vector kernel here")
}

func vectorSolve(d *float64, ld, m int, z *float64, k int) {
	panic("sparse: no vector kernel here")
}

func vectorSolveBack(d *float64, ld, m int, z *float64, k int) {
	panic("sparse: no vector kernel here")
}

func vectorGather(n int, v, y *float64, rows *int32, k int) {
	panic("sparse: no vector kernel here")
}

func vectorScatter(n int, y *float64, rows *int32, v *float64, k int) {
	panic("sparse: no vector kernel here")
}

func vectorPrefetchRows(n int, p *float64, rows *int32, k int) {
	panic("sparse: no vector kernel here")
}

func vectorPrefetch(lines int, p *float64) {
	panic("sparse: no vector kernel here")
}
