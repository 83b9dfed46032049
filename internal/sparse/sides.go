package sparse

// Right-hand sides that are solved for together lie side by side: row i of
// them is y[i*k:][:k], with k a multiple of eight. The kernels here take a
// panel as it is stored, close or not: the columns of a sliver of less than
// four rows stand tall apart, tall being that number of rows or four. To do so
// they may read, but never use, up to overread numbers past a panel's end.
const overread = 16

// fall subtracts from the rows of y that are named the product of as many rows
// of L, in slivers step apart, with v:
//
//	y[rows[i]] -= sum over j < depth of L[i][j] v[j].
func fall(l []float64, step, tall, depth int, v []float64, k int, y []float64, rows []int32) {
	switch {
	case depth == 0 || len(rows) == 0:
	case haveVector:
		vectorFall(len(rows), tall, &l[0], step, depth, &v[0], k, &y[0], &rows[0])
	default:
		plainFall(l, step, tall, depth, v, k, y, rows)
	}
}

func plainFall(l []float64, step, tall, depth int, v []float64, k int, y []float64, rows []int32) {
	for i, r := range rows {
		apart := 4
		if i/4*4+4 > len(rows) {
			apart = tall
		}
		at, to := i/4*step+i%4, y[int(r)*k:][:k]
		for j := range depth {
			a := l[at+apart*j]
			for c, x := range v[j*k:][:k] {
				to[c] -= a * x
			}
		}
	}
}

// rise is the transpose for up to four columns: it subtracts from the m rows
// of z the product of the columns from the given one on with the rows of y that
// are named. Each sliver is longer by grow than the one before it:
//
//	z[j] -= sum over i of L[i][column+j] y[rows[i]].
func rise(l []float64, step, grow, tall, column, m int, z []float64, k int, y []float64, rows []int32) {
	switch {
	case len(rows) == 0:
	case haveVector:
		vectorRise(len(rows), tall, &l[0], step, grow, column, m, &z[0], k, &y[0], &rows[0])
	default:
		plainRise(l, step, grow, tall, column, m, z, k, y, rows)
	}
}

func plainRise(l []float64, step, grow, tall, column, m int, z []float64, k int, y []float64, rows []int32) {
	for i, r := range rows {
		q, apart := i/4, 4
		if q*4+4 > len(rows) {
			apart = tall
		}
		at, from := q*step+q*(q-1)/2*grow+i%4, y[int(r)*k:][:k]
		for j := range m {
			a, to := l[at+apart*(column+j)], z[j*k:][:k]
			for c, x := range from {
				to[c] -= a * x
			}
		}
	}
}

// solveBlock solves L z = z for the m unknowns of one diagonal block.
func solveBlock(d []float64, tall, m int, z []float64, k int) {
	if haveVector {
		vectorSolve(&d[0], tall, m, &z[0], k)
		return
	}
	plainSolve(d, tall, m, z, k)
}

func plainSolve(d []float64, tall, m int, z []float64, k int) {
	for i := range m {
		to := z[i*k:][:k]
		for c := range to {
			for j := range i {
				to[c] -= d[tall*j+i] * z[j*k+c]
			}
			to[c] *= d[tall*i+i]
		}
	}
}

// solveBlockBack solves L' z = z likewise.
func solveBlockBack(d []float64, tall, m int, z []float64, k int) {
	if haveVector {
		vectorSolveBack(&d[0], tall, m, &z[0], k)
		return
	}
	plainSolveBack(d, tall, m, z, k)
}

func plainSolveBack(d []float64, tall, m int, z []float64, k int) {
	for i := m - 1; i >= 0; i-- {
		to := z[i*k:][:k]
		for c := range to {
			for j := i + 1; j < m; j++ {
				to[c] -= d[tall*i+j] * z[j*k+c]
			}
			to[c] *= d[tall*i+i]
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

// hint tells the processor that a node will be needed soon, first its own rows
// of y and the start of its panel.
func (f *Factor) hint(node int, y []float64, k int) {
	const rows, lines = 32, 24
	if !haveVector || node < 0 || node >= len(f.s.nodes) {
		return
	}
	nd := &f.s.nodes[node]
	vectorHint(min(int(nd.width), rows), &y[0], &f.s.order[nd.first], k)
	vectorHintRun(min(lines, f.s.panelOf(node).stored()/8+1), &f.value[nd.panel])
}
