package mesh

import "slices"

// A curve may pass an outline or another curve at less than a nanometre
// without touching it. Faces of such height would ruin any sum over the mesh,
// so lines that come nearer than m.snap are led through the same vertex: the
// curve gives way, and an outline only where a curve's point stands beside it.

// near tells whether two points are within the snap distance.
func (m *tin) near(a, b point) bool { return dist2(a, b) < m.snap*m.snap }

// flat tells whether v stands beside the line u-w within the snap distance.
func (m *tin) flat(u, w, v point) bool {
	cross := (w.x-u.x)*(v.y-u.y) - (w.y-u.y)*(v.x-u.x)
	return cross*cross < m.snap*m.snap*dist2(u, w) && dot(u, w, v) > 0 && dot(w, u, v) > 0
}

// bend leads the constrained edge i of face t through the face's corner i if
// that stands right beside it. An outline is never led through a point of an
// outline, lest a slit be closed.
func (m *tin) bend(t, i int32) bool {
	f := &m.t[t]
	s, g := f.s[i], f.n[i]
	if s == 0 || g < 0 {
		return false
	}
	u, w, v := f.v[next3[i]], f.v[prev3[i]], f.v[i]
	back := m.t[g>>2].s[g&3]
	outline := m.segs[segIndex(s)].poly >= 0
	if back != -s || outline && m.fixed[v] || !m.flat(m.p[u], m.p[w], m.p[v]) {
		return false
	}
	into, out := f.n[prev3[i]], f.n[next3[i]] // u to v and v to w, seen from beyond
	if m.clash(into, s) || m.clash(out, s) {
		return false
	}
	f.s[i], m.t[g>>2].s[g&3] = 0, 0
	m.join(into, s)
	m.join(out, s)
	if outline {
		m.fixed[v] = true
	}
	m.legalize(4*t + i)
	return true
}

// clash tells whether half-edge h already belongs to another outline than s.
func (m *tin) clash(h, s int32) bool {
	if h < 0 {
		return true
	}
	old := m.t[h>>2].s[h&3]
	return old != 0 && m.segs[segIndex(old)].poly >= 0 && m.segs[segIndex(s)].poly >= 0
}

// join adds the mark s to half-edge h, whatever curves or outline it carries.
func (m *tin) join(h, s int32) {
	f := &m.t[h>>2]
	i := h & 3
	g := f.n[i]
	old := f.s[i]
	if old == 0 {
		f.s[i], m.t[g>>2].s[g&3] = s, -s
		return
	}
	lead, other := old, s
	if m.segs[segIndex(old)].poly < 0 {
		lead, other = s, old
	}
	both := m.segs[segIndex(lead)]
	both.curves = unite(both.curves, m.segs[segIndex(other)].curves)
	m.segs = append(m.segs, both)
	code := int32(len(m.segs))
	if lead < 0 {
		code = -code
	}
	if back := &m.t[g>>2].s[g&3]; *back == -old {
		*back = -code
	}
	f.s[i] = code
}

// unite gives the curves of either list, each once.
func unite(a, b []int32) []int32 {
	out := slices.Clone(a)
	for _, c := range b {
		if !slices.Contains(a, c) {
			out = append(out, c)
		}
	}
	return out
}

// legalize flips the free half-edge h and what that upsets until the faces
// are Delaunay again.
func (m *tin) legalize(h int32) {
	stack := []int32{h}
	for len(stack) > 0 {
		h, stack = stack[len(stack)-1], stack[:len(stack)-1]
		t, i := h>>2, h&3
		f := m.t[t]
		g := f.n[i]
		if g < 0 || f.s[i] != 0 {
			continue
		}
		u, j := g>>2, g&3
		o := m.t[u]
		p, a, b, q := f.v[i], f.v[next3[i]], f.v[prev3[i]], o.v[j]
		if inCircle(m.p[p], m.p[a], m.p[b], m.p[q]) <= 0 {
			continue
		}
		bp, pa, aq, qb := next3[i], prev3[i], next3[j], prev3[j]
		m.t[t] = triangle{v: [3]int32{p, a, q}, n: [3]int32{o.n[aq], 4*u + 2, f.n[pa]},
			s: [3]int32{o.s[aq], 0, f.s[pa]}}
		m.t[u] = triangle{v: [3]int32{p, q, b}, n: [3]int32{o.n[qb], f.n[bp], 4*t + 1},
			s: [3]int32{o.s[qb], f.s[bp], 0}}
		for _, e := range [4]int32{4 * t, 4*t + 2, 4 * u, 4*u + 1} {
			if n := m.t[e>>2].n[e&3]; n >= 0 {
				m.t[n>>2].n[n&3] = e
			}
			stack = append(stack, e)
		}
		m.at[p], m.at[a], m.at[q], m.at[b] = t, t, t, u
	}
}

// bendAll leads every constrained edge through the points right beside it.
func (m *tin) bendAll() {
	for pass, again := 0, true; again && pass < 8; pass++ {
		again = false
		for t := range m.t {
			for i := range int32(3) {
				again = m.bend(int32(t), i) || again
			}
		}
	}
}
