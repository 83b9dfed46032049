package sparse

import "ohmward/internal/parallel"

// solveWorkspace is what one goroutine needs to solve.
type solveWorkspace struct {
	pivots  []float64 // of one node, for up to maxRHS right-hand sides
	rows    []float64 // below one node, likewise
	dense   []float64 // all unknowns, likewise
	count   []int32   // 0, 1, 2 ..: rows one after the other
	oldRows []int32   // below one node, in the caller's numbering
	seen    []bool    // of each node; false between uses
}

// maxRHS is how many right-hand sides are taken through the factor at once.
const maxRHS = 16

func newSolveWorkspace(s *Symbolic) *solveWorkspace {
	count := make([]int32, max(s.maxWidth, s.maxBelow))
	for i := range count {
		count[i] = int32(i)
	}
	return &solveWorkspace{
		count:   count,
		oldRows: make([]int32, s.maxBelow),
		pivots:  make([]float64, (s.maxWidth+4)*maxRHS),
		rows:    make([]float64, (s.maxBelow+4)*maxRHS),
		seen:    make([]bool, len(s.nodes)),
	}
}

// rhs returns room for the unknowns of k right-hand sides.
func (w *solveWorkspace) rhs(n, k int) []float64 {
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
	parallel.Each(len(s.tasks), func(i int) {
		sums[i] = make([]float64, top)
		end := s.taskEnd(i)
		for k := s.tasks[i].lo; k < s.tasks[i].hi; k++ {
			f.forwardNode(k, y, end, sums[i])
		}
	})
	for _, sum := range sums {
		for i, v := range sum {
			y[s.topColumn+i] += v
		}
	}
	for k := s.top; k < len(s.nodes); k++ {
		f.forwardNode(k, y, s.n, nil)
	}
	for k := len(s.nodes) - 1; k >= s.top; k-- {
		f.backwardNode(k, y)
	}
	parallel.Each(len(s.tasks), func(i int) {
		for k := s.tasks[i].hi - 1; k >= s.tasks[i].lo; k-- {
			f.backwardNode(k, y)
		}
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

// forwardNode takes node k out of y: its own unknowns become those of L⁻¹, and
// what they contribute is subtracted from the rows below, those from end on in
// top instead (first unknown of top: topColumn).
func (f *Factor) forwardNode(k int, y []float64, end int, top []float64) {
	s := f.s
	nd, p := &s.nodes[k], s.panelOf(k)
	l, v, rows := f.value[nd.panel:], y[nd.first:nd.first+nd.width], s.rows(k)
	p.forwardPivots(l, v)
	at, step, last := p.storedBelow()
	for q := 0; 4*q < len(rows); q++ {
		part := sliverTimes(l[at+q*step:], p.columnStride(q, last), v)
		for i, r := range rows[4*q : min(4*q+4, len(rows))] {
			if int(r) < end {
				y[r] -= part[i]
			} else {
				top[int(r)-s.topColumn] -= part[i]
			}
		}
	}
}

// columnStride is how far apart the columns of sliver q below the pivot block stand,
// given that of the last.
func (p panel) columnStride(q, last int) int {
	if 4*q+4 <= p.u {
		return 4
	}
	return last
}

// sliverTimes is the product of a sliver, its columns ld apart, with v; where
// it has less than four rows, the rest is meaningless.
func sliverTimes(l []float64, ld int, v []float64) [4]float64 {
	var a0, a1, a2, a3 float64
	for _, x := range v {
		c := l[:4:4]
		a0 += c[0] * x
		a1 += c[1] * x
		a2 += c[2] * x
		a3 += c[3] * x
		l = l[ld:]
	}
	return [4]float64{a0, a1, a2, a3}
}

// forwardPivots solves with the pivot block, v := L⁻¹ v.
func (p panel) forwardPivots(l, v []float64) {
	for t := range p.blocks() {
		at, m, ld := p.storedBlock(t)
		a := sliverTimes(l[at:], ld, v[:4*t])
		d, z := l[at+4*t*ld:], v[4*t:][:m]
		if m < 4 {
			for i := range z {
				z[i] -= a[i]
			}
			plainSolve(d, ld, m, z, 1)
			continue
		}
		d = d[:16]
		z[0] = (z[0] - a[0]) * d[0]
		z[1] = (z[1] - a[1] - d[1]*z[0]) * d[5]
		z[2] = (z[2] - a[2] - d[2]*z[0] - d[6]*z[1]) * d[10]
		z[3] = (z[3] - a[3] - d[3]*z[0] - d[7]*z[1] - d[11]*z[2]) * d[15]
	}
}

// backwardNode finds node k's unknowns of L'⁻¹ y, all later ones being known.
func (f *Factor) backwardNode(k int, y []float64) {
	s := f.s
	nd, p := &s.nodes[k], s.panelOf(k)
	l, v, rows := f.value[nd.panel:], y[nd.first:nd.first+nd.width], s.rows(k)
	at, step, last := p.storedBelow()
	for q := 0; 4*q < len(rows); q++ {
		var part [4]float64
		for i, r := range rows[4*q : min(4*q+4, len(rows))] {
			part[i] = y[r]
		}
		subtractSliver(l[at+q*step:], p.columnStride(q, last), v, part)
	}
	for t := p.blocks() - 1; t >= 0; t-- {
		at, m, ld := p.storedBlock(t)
		d, z := l[at+4*t*ld:], v[4*t:][:m]
		var part [4]float64
		if m < 4 {
			plainSolveBack(d, ld, m, z, 1)
			copy(part[:], z)
		} else {
			d = d[:16]
			z[3] *= d[15]
			z[2] = (z[2] - d[11]*z[3]) * d[10]
			z[1] = (z[1] - d[6]*z[2] - d[7]*z[3]) * d[5]
			z[0] = (z[0] - d[1]*z[1] - d[2]*z[2] - d[3]*z[3]) * d[0]
			part = [4]float64(z)
		}
		subtractSliver(l[at:], ld, v[:4*t], part)
	}
}

// subtractSliver subtracts the product of a transposed sliver, its columns ld
// apart, with part, which is zero where the sliver has no row.
func subtractSliver(l []float64, ld int, v []float64, part [4]float64) {
	p0, p1, p2, p3 := part[0], part[1], part[2], part[3]
	for i := range v {
		c := l[:4:4]
		v[i] -= (c[0]*p0 + c[1]*p1) + (c[2]*p2 + c[3]*p3)
		l = l[ld:]
	}
}
