package sparse

// vectorFall is fall where there is something to do.
//
//go:noescape
func vectorFall(n, tall int, a *float64, step, depth int, v *float64, k int, y *float64, rows *int32)

// vectorRise is rise where there is something to do.
//
//go:noescape
func vectorRise(n, tall int, a *float64, step, grow, column, m int, z *float64, k int, y *float64, rows *int32)

// vectorSolve is solveBlock.
//
//go:noescape
func vectorSolve(d *float64, tall, m int, z *float64, k int)

// vectorSolveBack is solveBlockBack.
//
//go:noescape
func vectorSolveBack(d *float64, tall, m int, z *float64, k int)

// vectorGather is gather for at least one row, vectorScatter its reverse.
//
//go:noescape
func vectorGather(n int, v, y *float64, rows *int32, k int)

//go:noescape
func vectorScatter(n int, y *float64, rows *int32, v *float64, k int)

// vectorHint asks for n rows of y, at p, to be brought near.
//
//go:noescape
func vectorHint(n int, p *float64, rows *int32, k int)

// vectorHintRun asks for the numbers from p on, 8 to a line.
//
//go:noescape
func vectorHintRun(lines int, p *float64)
