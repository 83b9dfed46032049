package sparse

import "runtime"

// SolveMany replaces each of the columns by A⁻¹ times it.
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
	k := roundSides(len(cols))
	y := w.vectors(f.s.n, k)
	bring(y, cols, k)
	for i := range f.s.nodes {
		f.hint(i+2, y, k)
		f.sweep(i, y, k, w, panel.forwardSides)
	}
	for i := len(f.s.nodes) - 1; i >= 0; i-- {
		f.hint(i-2, y, k)
		f.sweep(i, y, k, w, panel.backwardSides)
	}
	fetch(cols, y, k)
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

// fetch is the reverse of bring.
func fetch(cols [][]float64, y []float64, k int) {
	n := len(y) / k
	for lo := 0; lo < n; lo += nearRows {
		hi := min(lo+nearRows, n)
		for c, col := range cols {
			at := lo*k + c
			for i := lo; i < hi; i++ {
				col[i] = y[at]
				at += k
			}
		}
	}
}
