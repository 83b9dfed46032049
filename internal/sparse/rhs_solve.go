package sparse

import (
	"math"
	"runtime"

	"ohmward/internal/parallel"
)

// SolveMany replaces each of the columns by A⁻¹ times it. Err tells if that
// failed.
func (f *Factor) SolveMany(cols [][]float64) {
	for _, c := range cols {
		checkLength("SolveMany", f.s.n, len(c))
	}
	if f.iter != nil {
		parallel.Each(len(cols), func(i int) { f.iter.solve(cols[i]) })
		return
	}
	if len(cols) == 1 {
		f.Solve(cols[0])
		return
	}
	// What becomes of a column does not depend on those beside it.
	cores := runtime.GOMAXPROCS(0)
	size := min(maxRHS, paddedRHS((len(cols)+cores-1)/cores))
	parallel.Each((len(cols)+size-1)/size, func(i int) {
		w := f.work.Get().(*solveWorkspace)
		f.solveBatch(cols[i*size:min((i+1)*size, len(cols))], w)
		f.work.Put(w)
	})
}

// paddedRHS is how many columns the kernels take for so many.
func paddedRHS(columns int) int { return (columns + 7) &^ 7 }

// solveBatch solves for up to maxRHS columns: their unknowns lie side by
// side, in the caller's numbering. To put them in the order of elimination
// would take longer than to look each node's rows up.
func (f *Factor) solveBatch(cols [][]float64, w *solveWorkspace) {
	if f.s.n == 0 {
		return
	}
	n, k := f.s.n, paddedRHS(len(cols))
	y := w.rhs(n, k+2)
	b, x := y[n*k:n*k+n], y[n*k+n:]
	y = y[:n*k]
	weight := weights(cols)
	interleave(y, cols, k)
	for i := range f.s.nodes {
		f.prefetch(i+2, y, k)
		f.sweepNode(i, y, k, w, panel.forwardRHS)
	}
	for i := len(f.s.nodes) - 1; i >= 0; i-- {
		f.prefetch(i-2, y, k)
		f.sweepNode(i, y, k, w, panel.backwardRHS)
	}
	deinterleave(cols, y, k, weight, b, x)
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

// sweepNode takes the right-hand sides y through a node, forward or backward.
func (f *Factor) sweepNode(node int, y []float64, k int, w *solveWorkspace,
	through func(p panel, l, v []float64, k int, y []float64, rows, own []int32)) {
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

// rowBlock is how many rows are laid side by side while they are near.
const rowBlock = 64

// interleave lays columns side by side, padded by zeros to k.
func interleave(y []float64, cols [][]float64, k int) {
	if len(cols) < k {
		clear(y)
	}
	n := len(y) / k
	for lo := 0; lo < n; lo += rowBlock {
		for c, col := range cols {
			at := lo*k + c
			for _, v := range col[lo:min(lo+rowBlock, n)] {
				y[at] = v
				at += k
			}
		}
	}
}

// deinterleave is the reverse of interleave. It puts the weighted sums of what the columns
// were into b and of what they become into x.
func deinterleave(cols [][]float64, y []float64, k int, weight, b, x []float64) {
	clear(b)
	clear(x)
	for lo := 0; lo < len(x); lo += rowBlock {
		hi := min(lo+rowBlock, len(x))
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
