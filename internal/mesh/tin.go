package mesh

// none marks a missing neighbour.
const none = -1

// triangle is one face of the growing triangulation. Edge i lies opposite
// corner i and runs from corner i+1 to corner i+2, the face on its left.
type triangle struct {
	v [3]int32 // corners, counter-clockwise
	n [3]int32 // half-edge on the other side of edge i: 4*face + edge, or none
	s [3]int32 // 0: free edge; ±(segment+1): positive where the edge runs along with the segment
}

// segment is an input line (later: one constrained edge after all crossings
// are known) that must stay an edge or a chain of edges.
type segment struct {
	a, b       int32 // end vertices, the region on the left of a to b
	poly, ring int32 // outline it belongs to; none for a curve alone
	back       int32 // once carved: poly is the polygon on the left, back on the right or none
	curves     []int32
}

// rimEdge is an edge around a cavity, the cavity on its left.
type rimEdge struct{ a, b, out, s int32 }

// tin is a constrained Delaunay triangulation under construction.
type tin struct {
	p    []point
	t    []triangle
	at   []int32 // a face at each vertex; kept up to date until carving
	segs []segment
	on   []int32 // segment+1 on which an added vertex lies, else 0

	fixed []bool  // vertices on outlines, while curves are forced in
	snap  float64 // ticks; see bend

	// Scratch of dig and fill.
	stack, cavity, fresh []int32
	rim                  []rimEdge
	stampOf              []int32
	stamp                int32
}

var next3 = [3]int32{1, 2, 0}
var prev3 = [3]int32{2, 0, 1}

// newTin starts with a square far around the box.
func newTin(lo, hi point, capacity int) *tin {
	m := &tin{
		p:  make([]point, 0, capacity+4),
		t:  make([]triangle, 0, 2*capacity+8),
		at: make([]int32, 0, capacity+4),
		on: make([]int32, 0, capacity+4),
	}
	d := max(hi.x-lo.x, hi.y-lo.y)/2 + 1024*ticksPerNM
	d -= float64(int64(d) % 2)
	for _, c := range [4]point{
		{floor(lo.x) - d, floor(lo.y) - d}, {floor(hi.x) + d, floor(lo.y) - d},
		{floor(hi.x) + d, floor(hi.y) + d}, {floor(lo.x) - d, floor(hi.y) + d},
	} {
		m.addVertex(c)
	}
	m.t = append(m.t,
		triangle{v: [3]int32{0, 1, 2}, n: [3]int32{none, 4*1 + 1, none}},
		triangle{v: [3]int32{0, 2, 3}, n: [3]int32{none, none, none}})
	// Edge 1 of face 0 runs 2 to 0; edge 2 of face 1 runs 0 to 2.
	m.t[0].n[1] = 4*1 + 2
	m.t[1].n[2] = 4*0 + 1
	m.at[0], m.at[1], m.at[2], m.at[3] = 0, 0, 0, 1
	return m
}

func floor(x float64) float64 { return float64(int64(x)) }

func (m *tin) addVertex(p point) int32 {
	m.p = append(m.p, p)
	m.at = append(m.at, none)
	m.on = append(m.on, 0)
	return int32(len(m.p) - 1)
}

// locate walks from face t to the face that holds p. It needs an
// unconstrained Delaunay triangulation, in which the walk cannot go round.
func (m *tin) locate(p point, t int32) int32 {
	from := int32(none)
walk:
	for {
		f := &m.t[t]
		for i := int32(0); i < 3; i++ {
			if f.n[i] < 0 || f.n[i]>>2 == from {
				continue
			}
			if orient(m.p[f.v[next3[i]]], m.p[f.v[prev3[i]]], p) < 0 {
				from, t = t, f.n[i]>>2
				continue walk
			}
		}
		return t
	}
}

// dig gathers the faces whose circles hold p, from the half-edges on the
// stack outward without crossing a constrained edge, and the rim around
// them in counter-clockwise order. A face joins only when p sees all of it,
// so that the new star is never folded. It tells whether p lies strictly
// left of the rim.
func (m *tin) dig(p point) bool {
	ok := true
	for len(m.stack) > 0 {
		h := m.stack[len(m.stack)-1]
		m.stack = m.stack[:len(m.stack)-1]
		f := &m.t[h>>2]
		i := h & 3
		a, b, g, s := f.v[next3[i]], f.v[prev3[i]], f.n[i], f.s[i]
		if g >= 0 && s == 0 {
			o := &m.t[g>>2]
			j := g & 3
			c := o.v[j]
			if inCircle(m.p[b], m.p[a], m.p[c], p) > 0 &&
				orient(m.p[a], m.p[c], p) > 0 && orient(m.p[c], m.p[b], p) > 0 {
				m.cavity = append(m.cavity, g>>2)
				m.stack = append(m.stack, g&^3|prev3[j], g&^3|next3[j])
				continue
			}
		}
		if orient(m.p[a], m.p[b], p) <= 0 {
			ok = false
		}
		m.rim = append(m.rim, rimEdge{a, b, g, s})
	}
	return ok
}

// digFace prepares the cavity of a point inside face t or on one of its free
// edges (the face across such an edge always passes the circle test).
func (m *tin) digFace(p point, t int32) bool {
	m.cavity = append(m.cavity[:0], t)
	m.rim = m.rim[:0]
	m.stack = append(m.stack[:0], 4*t+2, 4*t+1, 4*t)
	return m.dig(p)
}

// digEdge prepares the cavity of a point on the constrained half-edge h and
// gives the number of rim edges on h's own side, which come first.
func (m *tin) digEdge(p point, h int32) (left int, ok bool) {
	t, i := h>>2, h&3
	m.cavity = append(m.cavity[:0], t)
	m.rim = m.rim[:0]
	m.stack = append(m.stack[:0], 4*t+prev3[i], 4*t+next3[i])
	if !m.dig(p) {
		return 0, false
	}
	left = len(m.rim)
	if g := m.t[t].n[i]; g >= 0 {
		u, j := g>>2, g&3
		m.cavity = append(m.cavity, u)
		m.stack = append(m.stack[:0], 4*u+prev3[j], 4*u+next3[j])
		if !m.dig(p) {
			return 0, false
		}
	}
	return left, true
}

// fill joins vertex v to every rim edge, reusing the cavity's faces; the new
// faces are left in m.fresh in the order of the rim.
func (m *tin) fill(v int32, closed bool) {
	k := len(m.rim)
	m.fresh = append(m.fresh[:0], m.cavity...)
	for len(m.fresh) < k {
		m.fresh = append(m.fresh, int32(len(m.t)))
		m.t = append(m.t, triangle{})
	}
	for i, e := range m.rim {
		t := m.fresh[i]
		after, before := int32(none), int32(none)
		if closed || i+1 < k {
			after = 4*m.fresh[(i+1)%k] + 2
		}
		if closed || i > 0 {
			before = 4*m.fresh[(i+k-1)%k] + 1
		}
		m.t[t] = triangle{v: [3]int32{v, e.a, e.b}, n: [3]int32{e.out, after, before}, s: [3]int32{e.s, 0, 0}}
		if e.out >= 0 {
			m.t[e.out>>2].n[e.out&3] = 4 * t
		}
		m.at[e.a] = t
	}
	m.at[v] = m.fresh[0]
	m.at[m.rim[k-1].b] = m.fresh[k-1]
}

// insert adds a free vertex to an unconstrained triangulation and gives a
// face at it.
func (m *tin) insert(p point, hint int32) (int32, bool) {
	t := m.locate(p, hint)
	if !m.digFace(p, t) {
		return t, false
	}
	v := m.addVertex(p)
	m.fill(v, true)
	return m.at[v], true
}

// splitEdge puts a vertex at p on the constrained half-edge h, unless some
// face would turn over because p is not exactly on the line.
func (m *tin) splitEdge(h int32, p point) (int32, bool) {
	left, ok := m.digEdge(p, h)
	if !ok {
		return none, false
	}
	f := m.t[h>>2]
	s, g := f.s[h&3], f.n[h&3]
	var back int32
	if g >= 0 {
		back = m.t[g>>2].s[g&3]
	}
	v := m.addVertex(p)
	m.fill(v, g >= 0)
	m.t[m.fresh[0]].s[2] = s
	m.t[m.fresh[left-1]].s[1] = s
	if g >= 0 {
		m.t[m.fresh[left]].s[2] = back
		m.t[m.fresh[len(m.fresh)-1]].s[1] = back
	}
	m.on[v] = segIndex(s) + 1
	return v, true
}

// segIndex gives the segment of a non-zero edge mark.
func segIndex(s int32) int32 {
	if s < 0 {
		s = -s
	}
	return s - 1
}
