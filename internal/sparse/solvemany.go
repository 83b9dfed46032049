package sparse

import (
	"math"
	"runtime"
)

// SolveMany replaces each of the columns by A⁻¹ times it. Err tells if that
// failed.
func (f *Factor) SolveMany(cols [][]float64) {
	for _, c := range cols {
		checkLength("SolveMany", f.s.n, len(c))
	}
	if f.iter != nil {
		each(len(cols), func(i int) { f.iter.solve(cols[i]) })
		return
	}
	if len(cols) == 1 {
		f.Solve(cols[0])
		return
	}
	// What becomes of a column does not depend on those beside it.
	cores := runtime.GOMAXPROCS(0)
	size := min(maxBatch, roundSides((len(cols)+cores-1)/cores))
	each((len(cols)+size-1)/size, func(i int) {
		w := f.work.Get().(*workspace)
		f.solveBatch(cols[i*size:min((i+1)*size, len(cols))], w)
		f.work.Put(w)
	})
}

// roundSides is how many columns the kernels take for so many.
func roundSides(columns int) int { return (columns + 7) &^ 7 }

// solveBatch solves for up to maxBatch columns: their unknowns lie side by
// side, in the caller's numbering. To put them in the order of elimination
// would take longer than to look each node's rows up.
func (f *Factor) solveBatch(cols [][]float64, w *workspace) {
	if f.s.n == 0 {
		return
	}
	n, k := f.s.n, roundSides(len(cols))
	y := w.vectors(n, k+2)
	b, x := y[n*k:n*k+n], y[n*k+n:]
	y = y[:n*k]
	weight := weights(cols)
	bring(y, cols, k)
	for i := range f.s.nodes {
		f.hint(i+2, y, k)
		f.sweep(i, y, k, w, panel.forwardSides)
	}
	for i := len(f.s.nodes) - 1; i >= 0; i-- {
		f.hint(i-2, y, k)
		f.sweep(i, y, k, w, panel.backwardSides)
	}
	fetch(cols, y, k, weight, b, x)
	f.check(b, x)
}

// weights are those of the sum of right-hand sides whose solution is checked
// for all of them: such that each counts about as much as any other, and that
// two of the same size do not cancel.
func weights(cols [][]float64) []float64 {
	out := make([]float64, len(cols))
	for c, col := range cols {
		_, part := math.Modf(float64(c+1) * math.Phi)
		out[c] = 1 + part
		if size := math.Sqrt(product(col, col)); size > 0 && size <= math.MaxFloat64 {
			out[c] /= size
		}
	}
	return out
}

// sweep takes the right-hand sides y through a node, forward or backward.
func (f *Factor) sweep(node int, y []float64, k int, w *workspace, through func(p panel, l, v []float64, k int, y []float64, rows, own []int32)) {
	s := f.s
	nd := &s.nodes[node]
	own := s.order[nd.first : nd.first+nd.width]
	v, rows := w.pivots[:len(own)*k], w.oldRows[:nd.below]
	for i, r := range s.rows(node) {
		rows[i] = s.order[r]
	}
	gather(v, y, own, k)
	through(s.panelOf(node), f.value[nd.panel:], v, k, y, rows, w.count)
	scatter(y, own, v, k)
}

// nearRows is how many rows are laid side by side while they are near.
const nearRows = 64

// bring lays columns side by side, padded by zeros to k.
func bring(y []float64, cols [][]float64, k int) {
	n := len(y) / k
	for lo := 0; lo < n; lo += nearRows {
		hi := min(lo+nearRows, n)
		for c := range k {
			at := lo*k + c
			if c >= len(cols) {
				for range hi - lo {
					y[at] = 0
					at += k
				}
				continue
			}
			for _, v := range cols[c][lo:hi] {
				y[at] = v
				at += k
			}
		}
	}
}

// fetch is the reverse of bring. It puts the weighted sums of what the columns
// were into b and of what they become into x.
func fetch(cols [][]float64, y []float64, k int, weight, b, x []float64) {
	clear(b)
	clear(x)
	for lo := 0; lo < len(x); lo += nearRows {
		hi := min(lo+nearRows, len(x))
		b, x := b[lo:hi], x[lo:hi]
		for c, col := range cols {
			at, w, col := lo*k+c, weight[c], col[lo:hi]
			for i, old := range col {
				v := y[at]
				b[i] += w * old
				x[i] += w * v
				col[i] = v
				at += k
			}
		}
	}
}
