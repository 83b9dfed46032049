package sparse

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
	size := maxBatch
	if len(cols) <= 2*maxBatch {
		size = 8
	}
	each((len(cols)+size-1)/size, func(i int) {
		w := f.work.Get().(*workspace)
		f.solveBatch(cols[i*size:min((i+1)*size, len(cols))], w)
		f.work.Put(w)
	})
}

// solveBatch solves for up to maxBatch columns: their unknowns lie side by
// side, each unknown's padded to 8 or 16.
func (f *Factor) solveBatch(cols [][]float64, w *workspace) {
	s := f.s
	k := (len(cols) + 7) &^ 7
	y := w.vectors(s.n, k)
	for i, old := range s.order {
		row := y[i*k:][:k]
		clear(row[len(cols):])
		for c := range cols {
			row[c] = cols[c][old]
		}
	}
	for i := range s.nodes {
		f.forwardBatch(i, y, k, w)
	}
	for i := len(s.nodes) - 1; i >= 0; i-- {
		f.backwardBatch(i, y, k, w)
	}
	for i, old := range s.order {
		row := y[i*k:][:k]
		for c := range cols {
			cols[c][old] = row[c]
		}
	}
}

// forwardBatch is forward for k right-hand sides.
func (f *Factor) forwardBatch(node int, y []float64, k int, w *workspace) {
	s := f.s
	nd, p := &s.nodes[node], s.panelOf(node)
	l := f.panel(node, p, w)
	own := y[int(nd.first)*k : int(nd.first+nd.width)*k]
	v := w.pivots[:p.wide()*k]
	n := copy(v, own)
	clear(v[n:])
	forwardPivotsBatch(p, l, v, k)
	copy(own, v)
	part := w.rows[:4*k]
	rows := s.rows(node)
	for q := 0; 4*q < len(rows); q++ {
		clear(part)
		sliverTimesBatch(p.w, l[p.lowerSliver(q):], v, part, k)
		for i, r := range rows[4*q : min(4*q+4, len(rows))] {
			to, from := y[int(r)*k:][:k], part[i*k:][:k]
			for c := range to {
				to[c] += from[c]
			}
		}
	}
}

// sliverTimesBatch subtracts the product of a sliver of depth columns with v
// from the four rows of out.
func sliverTimesBatch(depth int, l, v, out []float64, k int) {
	if depth == 0 {
		return
	}
	for c := 0; c < k; c += 8 {
		tile8(depth, l, v[c:], v[c+4:], k, out[c:], out[c+4:], k)
	}
}

func forwardPivotsBatch(p panel, l, v []float64, k int) {
	for t := 0; t < p.blocks(); t++ {
		x := l[p.pivotSliver(t):]
		z := v[4*t*k:][:4*k]
		sliverTimesBatch(4*t, x, v, z, k)
		d := x[16*t:][:16]
		z0, z1, z2, z3 := z[:k], z[k:2*k], z[2*k:3*k], z[3*k:4*k]
		for c := range z0 {
			a0 := z0[c] * d[0]
			a1 := (z1[c] - d[1]*a0) * d[5]
			a2 := (z2[c] - d[2]*a0 - d[6]*a1) * d[10]
			a3 := (z3[c] - d[3]*a0 - d[7]*a1 - d[11]*a2) * d[15]
			z0[c], z1[c], z2[c], z3[c] = a0, a1, a2, a3
		}
	}
}

// backwardBatch is backward for k right-hand sides.
func (f *Factor) backwardBatch(node int, y []float64, k int, w *workspace) {
	s := f.s
	nd, p := &s.nodes[node], s.panelOf(node)
	l := f.panel(node, p, w)
	own := y[int(nd.first)*k : int(nd.first+nd.width)*k]
	v := w.pivots[:p.wide()*k]
	n := copy(v, own)
	clear(v[n:])
	rows := s.rows(node)
	b := w.rows[:4*p.slivers()*k]
	for i, r := range rows {
		copy(b[i*k:][:k], y[int(r)*k:])
	}
	clear(b[len(rows)*k:])
	for q := range p.slivers() {
		subtractSliverBatch(p.blocks(), l[p.lowerSliver(q):], v, b[4*q*k:], k)
	}
	for t := p.blocks() - 1; t >= 0; t-- {
		x := l[p.pivotSliver(t):]
		z := v[4*t*k:][:4*k]
		d := x[16*t:][:16]
		z0, z1, z2, z3 := z[:k], z[k:2*k], z[2*k:3*k], z[3*k:4*k]
		for c := range z0 {
			a3 := z3[c] * d[15]
			a2 := (z2[c] - d[11]*a3) * d[10]
			a1 := (z1[c] - d[6]*a2 - d[7]*a3) * d[5]
			a0 := (z0[c] - d[1]*a1 - d[2]*a2 - d[3]*a3) * d[0]
			z0[c], z1[c], z2[c], z3[c] = a0, a1, a2, a3
		}
		subtractSliverBatch(t, x, v, z, k)
	}
	copy(own, v)
}

// subtractSliverBatch subtracts the product of a transposed sliver of 4 times
// blocks columns with four rows b from v.
func subtractSliverBatch(blocks int, l, v, b []float64, k int) {
	for t := range blocks {
		a := transposed(l[16*t:])
		for c := 0; c < k; c += 8 {
			z := v[4*t*k+c:]
			tile8(4, a[:], b[c:], b[c+4:], k, z, z[4:], k)
		}
	}
}

// transposed is the transpose of a 4 by 4 block.
func transposed(l []float64) (a [16]float64) {
	l = l[:16]
	for i := range 4 {
		a[i], a[4+i], a[8+i], a[12+i] = l[4*i], l[4*i+1], l[4*i+2], l[4*i+3]
	}
	return a
}
