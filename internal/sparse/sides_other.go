//go:build !amd64

package sparse

func vectorFall(n, tall int, a *float64, step, depth int, v *float64, k int, y *float64, rows *int32) {
	panic("sparse: no vector kernel here")
}

func vectorRise(n, tall int, a *float64, step, grow, column, m int, z *float64, k int, y *float64, rows *int32) {
	panic("sparse: no vector kernel here")
}

func vectorSolve(d *float64, tall, m int, z *float64, k int) {
	panic("sparse: no vector kernel here")
}

func vectorSolveBack(d *float64, tall, m int, z *float64, k int) {
	panic("sparse: no vector kernel here")
}

func vectorGather(n int, v, y *float64, rows *int32, k int) {
	panic("sparse: no vector kernel here")
}

func vectorScatter(n int, y *float64, rows *int32, v *float64, k int) {
	panic("sparse: no vector kernel here")
}

func vectorHint(n int, p *float64, rows *int32, k int) {
	panic("sparse: no vector kernel here")
}

func vectorHintRun(lines int, p *float64) {
	panic("sparse: no vector kernel here")
}
