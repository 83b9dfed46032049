package sparse

// Right-hand sides that are solved for together lie side by side: row i of
// them is y[i*k:][:k], with k a multiple of eight. The kernels here take a
// panel as it is stored, packed or not: the columns of a sliver of less than
// four rows stand ld apart (the leading dimension: that number of rows, or
// four). To do so
// they may read, but never use, up to overread numbers past a panel's end.
const overread = 16

// subtractProduct subtracts from the named rows of y the product of as many rows
// of L, in slivers step apart, with v:
//
//	y[rows[i]] -= sum over j < depth of L[i][j] v[j].
func subtractProduct(l []float64, step, ld, depth int, v []float64, k int, y []float64, rows []int32) {
	switch {
	case depth == 0 || len(rows) == 0:
	case haveVector:
		vectorProduct(len(rows), ld, &l[0], step, depth, &v[0], k, &y[0], &rows[0])
	default:
		plainProduct(l, step, ld, depth, v, k, y, rows)
	}
}

func plainProduct(l []float64, step, ld, depth int, v []float64, k int, y []float64, rows []int32) {
	for i, r := range rows {
		stride := 4
		if i/4*4+4 > len(rows) {
			stride = ld
		}
		at, to := i/4*step+i%4, y[int(r)*k:][:k]
		for j := range depth {
			a := l[at+stride*j]
			for c, x := range v[j*k:][:k] {
				to[c] -= a * x
			}
		}
	}
}

// subtractTransposed is the transpose for up to four columns: it subtracts from the m rows
// of z the product of the columns from the given one on with the rows of y that
// are named. Each sliver is longer by grow than the one before it:
//
//	z[j] -= sum over i of L[i][column+j] y[rows[i]].
func subtractTransposed(l []float64, step, grow, ld, column, m int, z []float64, k int, y []float64,
	rows []int32) {
	switch {
	case len(rows) == 0:
	case haveVector:
		vectorTransposed(len(rows), ld, &l[0], step, grow, column, m, &z[0], k, &y[0], &rows[0])
	default:
		plainTransposed(l, step, grow, ld, column, m, z, k, y, rows)
	}
}

func plainTransposed(l []float64, step, grow, ld, column, m int, z []float64, k int, y []float64,
	rows []int32) {
	for i, r := range rows {
		q, stride := i/4, 4
		if q*4+4 > len(rows) {
			stride = ld
		}
		at, from := q*step+q*(q-1)/2*grow+i%4, y[int(r)*k:][:k]
		for j := range m {
			a, to := l[at+stride*(column+j)], z[j*k:][:k]
			for c, x := range from {
				to[c] -= a * x
			}
		}
	}
}

// solveBlock solves L z = z for the m unknowns of one diagonal block.
func solveBlock(d []float64, ld, m int, z []float64, k int) {
	if haveVector {
		vectorSolve(&d[0], ld, m, &z[0], k)
		return
	}
	plainSolve(d, ld, m, z, k)
}

func plainSolve(d []float64, ld, m int, z []float64, k int) {
	for i := range m {
		to := z[i*k:][:k]
		for c := range to {
			for j := range i {
				to[c] -= d[ld*j+i] * z[j*k+c]
			}
			to[c] *= d[ld*i+i]
		}
	}
}

// solveBlockBack solves L' z = z likewise.
func solveBlockBack(d []float64, ld, m int, z []float64, k int) {
	if haveVector {
		vectorSolveBack(&d[0], ld, m, &z[0], k)
		return
	}
	plainSolveBack(d, ld, m, z, k)
}

func plainSolveBack(d []float64, ld, m int, z []float64, k int) {
	for i := m - 1; i >= 0; i-- {
		to := z[i*k:][:k]
		for c := range to {
			for j := i + 1; j < m; j++ {
				to[c] -= d[ld*i+j] * z[j*k+c]
			}
			to[c] *= d[ld*i+i]
		}
	}
}

// gather copies the rows of y that are named to v, one after the other.
func gather(v, y []float64, rows []int32, k int) {
	if haveVector {
		vectorGather(len(rows), &v[0], &y[0], &rows[0], k)
		return
	}
	for i, r := range rows {
		copy(v[i*k:][:k], y[int(r)*k:])
	}
}

// scatter is the reverse of gather.
func scatter(y []float64, rows []int32, v []float64, k int) {
	if haveVector {
		vectorScatter(len(rows), &y[0], &rows[0], &v[0], k)
		return
	}
	for i, r := range rows {
		copy(y[int(r)*k:][:k], v[i*k:])
	}
}

// prefetch tells the processor that a node will be needed soon, first its own rows
// of y and the start of its panel.
func (f *Factor) prefetch(node int, y []float64, k int) {
	const rows, lines = 32, 24
	if !haveVector || node < 0 || node >= len(f.s.nodes) {
		return
	}
	nd := &f.s.nodes[node]
	vectorPrefetchRows(min(int(nd.width), rows), &y[0], &f.s.order[nd.first], k)
	vectorPrefetch(min(lines, f.s.panelOf(node).storedSize()/8+1), &f.value[nd.panel])
}
