package sparse

// workspace is what one goroutine needs to solve.
type workspace struct {
	pivots  []float64 // of one node, for up to maxBatch right-hand sides
	rows    []float64 // below one node, likewise
	dense   []float64 // all unknowns, likewise
	panel   []float64 // one that is stored close, opened
	count   []int32   // 0, 1, 2 ..: rows one after the other
	oldRows []int32   // below one node, in the caller's numbering
	seen    []bool    // of each node; false between uses
}

// maxBatch is how many right-hand sides are taken through the factor at once.
const maxBatch = 16

func newWorkspace(s *Symbolic) *workspace {
	count := make([]int32, max(s.widest, s.most))
	for i := range count {
		count[i] = int32(i)
	}
	return &workspace{
		count:   count,
		oldRows: make([]int32, s.most),
		pivots:  make([]float64, (s.widest+4)*maxBatch),
		rows:    make([]float64, (s.most+4)*maxBatch),
		panel:   make([]float64, s.opened),
		seen:    make([]bool, len(s.nodes)),
	}
}

// vectors returns room for the unknowns of k right-hand sides.
func (w *workspace) vectors(n, k int) []float64 {
	if len(w.dense) < n*k {
		w.dense = make([]float64, n*k)
	}
	return w.dense[:n*k]
}

// Solve replaces x by A⁻¹ x. Err tells if that failed.
func (f *Factor) Solve(x []float64) {
	checkLength("Solve", f.s.n, len(x))
	if f.iter != nil {
		f.iter.solve(x)
		return
	}
	y := make([]float64, f.s.n)
	f.solve(y, x)
	f.check(x, y)
	copy(x, y)
}

// solve sets x = A⁻¹ b, unchecked.
func (f *Factor) solve(x, b []float64) {
	s := f.s
	y := make([]float64, s.n)
	for i, old := range s.order {
		y[i] = b[old]
	}
	top := s.n - s.topColumn
	sums := make([][]float64, len(s.tasks))
	each(len(s.tasks), func(i int) {
		w := f.work.Get().(*workspace)
		sums[i] = make([]float64, top)
		end := s.taskEnd(i)
		for k := s.tasks[i].lo; k < s.tasks[i].hi; k++ {
			f.forward(k, y, end, sums[i], w)
		}
		f.work.Put(w)
	})
	for _, sum := range sums {
		for i, v := range sum {
			y[s.topColumn+i] += v
		}
	}
	w := f.work.Get().(*workspace)
	for k := s.top; k < len(s.nodes); k++ {
		f.forward(k, y, s.n, nil, w)
	}
	for k := len(s.nodes) - 1; k >= s.top; k-- {
		f.backward(k, y, w)
	}
	f.work.Put(w)
	each(len(s.tasks), func(i int) {
		w := f.work.Get().(*workspace)
		for k := s.tasks[i].hi - 1; k >= s.tasks[i].lo; k-- {
			f.backward(k, y, w)
		}
		f.work.Put(w)
	})
	for i, old := range s.order {
		x[old] = y[i]
	}
}

// taskEnd is the column after the last of task i.
func (s *Symbolic) taskEnd(i int) int {
	last := &s.nodes[s.tasks[i].hi-1]
	return int(last.first + last.width)
}

// forward takes node k out of y: its own unknowns become those of L⁻¹, and
// what they contribute is subtracted from the rows below, those from end on in
// top instead (first unknown of top: topColumn).
func (f *Factor) forward(k int, y []float64, end int, top []float64, w *workspace) {
	s := f.s
	nd, p := &s.nodes[k], s.panelOf(k)
	l := f.panel(k, p, w)
	v := w.pivots[:p.wide()]
	n := copy(v, y[nd.first:nd.first+nd.width])
	clear(v[n:])
	forwardPivots(p, l, v)
	copy(y[nd.first:], v[:n])
	rows := s.rows(k)
	for q := 0; 4*q < len(rows); q++ {
		part := sliverTimes(l[p.lowerSliver(q):], v)
		for i, r := range rows[4*q : min(4*q+4, len(rows))] {
			if int(r) < end {
				y[r] -= part[i]
			} else {
				top[int(r)-s.topColumn] -= part[i]
			}
		}
	}
}

// sliverTimes is the product of a sliver with v.
func sliverTimes(l, v []float64) [4]float64 {
	var a0, a1, a2, a3 float64
	l = l[:4*len(v)]
	for _, x := range v {
		c := l[:4:4]
		a0 += c[0] * x
		a1 += c[1] * x
		a2 += c[2] * x
		a3 += c[3] * x
		l = l[4:]
	}
	return [4]float64{a0, a1, a2, a3}
}

// forwardPivots solves with the pivot block, v := L⁻¹ v.
func forwardPivots(p panel, l, v []float64) {
	for t := 0; t < p.blocks(); t++ {
		x := l[p.pivotSliver(t):]
		a := sliverTimes(x, v[:4*t])
		d, z := x[16*t:][:16], v[4*t:][:4]
		z[0] = (z[0] - a[0]) * d[0]
		z[1] = (z[1] - a[1] - d[1]*z[0]) * d[5]
		z[2] = (z[2] - a[2] - d[2]*z[0] - d[6]*z[1]) * d[10]
		z[3] = (z[3] - a[3] - d[3]*z[0] - d[7]*z[1] - d[11]*z[2]) * d[15]
	}
}

// backward finds node k's unknowns of L'⁻¹ y, all later ones being known.
func (f *Factor) backward(k int, y []float64, w *workspace) {
	s := f.s
	nd, p := &s.nodes[k], s.panelOf(k)
	l := f.panel(k, p, w)
	v := w.pivots[:p.wide()]
	n := copy(v, y[nd.first:nd.first+nd.width])
	clear(v[n:])
	rows := s.rows(k)
	for q := 0; 4*q < len(rows); q++ {
		var part [4]float64
		for i, r := range rows[4*q : min(4*q+4, len(rows))] {
			part[i] = y[r]
		}
		subtractSliver(l[p.lowerSliver(q):], v, part)
	}
	for t := p.blocks() - 1; t >= 0; t-- {
		x := l[p.pivotSliver(t):]
		d, z := x[16*t:][:16], v[4*t:][:4]
		z[3] *= d[15]
		z[2] = (z[2] - d[11]*z[3]) * d[10]
		z[1] = (z[1] - d[6]*z[2] - d[7]*z[3]) * d[5]
		z[0] = (z[0] - d[1]*z[1] - d[2]*z[2] - d[3]*z[3]) * d[0]
		subtractSliver(x, v[:4*t], [4]float64(z))
	}
	copy(y[nd.first:], v[:n])
}

// subtractSliver subtracts the product of a transposed sliver with part.
func subtractSliver(l, v []float64, part [4]float64) {
	l = l[:4*len(v)]
	p0, p1, p2, p3 := part[0], part[1], part[2], part[3]
	for i := range v {
		c := l[:4:4]
		v[i] -= (c[0]*p0 + c[1]*p1) + (c[2]*p2 + c[3]*p3)
		l = l[4:]
	}
}
