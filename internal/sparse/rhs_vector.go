package sparse

// vectorProduct is subtractProduct where there is something to do.
//
//go:noescape
func vectorProduct(n, ld int, a *float64, step, depth int, v *float64, k int, y *float64, rows *int32)

// vectorTransposed is subtractTransposed where there is something to do.
//
//go:noescape
func vectorTransposed(n, ld int, a *float64, step, grow, column, m int, z *float64, k int, y *float64,
	rows *int32)

// vectorSolve is solveBlock.
//
//go:noescape
func vectorSolve(d *float64, ld, m int, z *float64, k int)

// vectorSolveBack is solveBlockBack.
//
//go:noescape
func vectorSolveBack(d *float64, ld, m int, z *float64, k int)

// vectorGather is gather for at least one row, vectorScatter its reverse.
//
//go:noescape
func vectorGather(n int, v, y *float64, rows *int32, k int)

//go:noescape
func vectorScatter(n int, y *float64, rows *int32, v *float64, k int)

// vectorPrefetchRows prefetches n rows of y, at p.
//
//go:noescape
func vectorPrefetchRows(n int, p *float64, rows *int32, k int)

// vectorPrefetch prefetches cache lines from p on, 8 numbers each.
//
//go:noescape
func vectorPrefetch(lines int, p *float64)
