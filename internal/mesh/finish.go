package mesh

import "slices"

// finish numbers the vertices in the order in which the faces name them and
// writes the mesh in metres.
func (m *tin) finish() *Mesh {
	out := &Mesh{
		Triangle:  slices.Repeat([][3]int32{{none, none, none}}, len(m.t)),
		Neighbour: make([][3]int32, len(m.t)),
		Polygon:   m.pieces(),
	}
	m.number(out)
	for t := range m.t {
		f := &m.t[t]
		for i, g := range f.n {
			out.Neighbour[t][i] = g >> 2 // none stays -1
			if s := f.s[i]; s != 0 {
				m.report(out, t, i, s, g)
			}
		}
	}
	return out
}

// report lists edge i of face t if it lies on the outline or on a curve.
func (m *tin) report(out *Mesh, t, i int, s, g int32) {
	seg := &m.segs[segIndex(s)]
	a, b := out.Triangle[t][(i+1)%3], out.Triangle[t][(i+2)%3]
	if g < 0 {
		out.Boundary = append(out.Boundary, [2]int32{a, b})
		out.BoundaryRing = append(out.BoundaryRing, [2]int32{seg.poly, seg.ring})
	}
	if g < 0 || s > 0 {
		for _, c := range seg.curves {
			out.CurveEdges = append(out.CurveEdges, CurveEdge{c, a, b})
		}
	}
}

// number gives every fan of faces round a vertex a vertex of its own, so that
// parts which touch in a point stay apart.
func (m *tin) number(out *Mesh) {
	for t := range m.t {
		for i := range int32(3) {
			if out.Triangle[t][i] != none {
				continue
			}
			p, v := m.p[m.t[t].v[i]], int32(len(out.X))
			out.X, out.Y = append(out.X, p.x*metresPerTick), append(out.Y, p.y*metresPerTick)
			out.Outline = append(out.Outline, m.numberFan(out, int32(t), i, v))
		}
	}
}

// numberFan writes v at corner i of face t and of all faces joined to it
// round that corner; it tells whether the fan is open.
func (m *tin) numberFan(out *Mesh, t, i, v int32) (open bool) {
	ft, fi := t, i
	for { // counter-clockwise
		out.Triangle[ft][fi] = v
		g := m.t[ft].n[next3[fi]]
		if g < 0 {
			break
		}
		ft, fi = g>>2, next3[g&3]
		if ft == t {
			return false
		}
	}
	for ft, fi = t, i; ; { // the rest, clockwise
		g := m.t[ft].n[prev3[fi]]
		if g < 0 {
			return true
		}
		ft, fi = g>>2, prev3[g&3]
		out.Triangle[ft][fi] = v
	}
}

// pieces floods the polygon numbers from the constrained edges.
func (m *tin) pieces() []int32 {
	piece := slices.Repeat([]int32{none}, len(m.t))
	var stack []int32
	for t := range m.t {
		for _, s := range m.t[t].s {
			if s == 0 || piece[t] != none {
				continue
			}
			seg := &m.segs[segIndex(s)]
			piece[t] = seg.poly
			if s < 0 {
				piece[t] = seg.back
			}
			stack = append(stack, int32(t))
			for len(stack) > 0 {
				k := stack[len(stack)-1]
				stack = stack[:len(stack)-1]
				for i, g := range m.t[k].n {
					if g >= 0 && m.t[k].s[i] == 0 && piece[g>>2] == none {
						piece[g>>2] = piece[t]
						stack = append(stack, g>>2)
					}
				}
			}
		}
	}
	return piece
}
