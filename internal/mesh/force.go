package mesh

import (
	"fmt"
	"math"
	"slices"
)

// chainEdge is an edge around the channel of faces that a forced line
// crosses: from vertex v to the next one, the channel on its left.
type chainEdge struct {
	v, in, out, s int32
	made          int32 // half-edge of the new face that took the place of in
}

// forceAll makes every segment an edge or a chain of edges. Outlines go
// first, so that curves are cut by outlines and not the other way round.
func (m *tin) forceAll() error {
	count := len(m.segs) // crossings and overlaps append copies
	m.fixed = make([]bool, len(m.p))
	curves := false
	for i := 0; i < count; i++ {
		s := m.segs[i]
		if s.poly >= 0 {
			m.fixed[s.a], m.fixed[s.b] = true, true
		} else if !curves {
			curves = true
			m.bendAll()
		}
		if err := m.force(s.a, s.b, int32(i+1), 0); err != nil {
			return err
		}
	}
	if curves {
		m.bendAll()
	}
	return nil
}

// force makes the line from vertex a to vertex b a chain of edges marked s.
func (m *tin) force(a, b, s int32, depth int) error {
	for a != b {
		t, i, on := m.aimFrom(a, b)
		if on >= 0 { // an edge leads along the line to a vertex
			if err := m.mark(t, i, s); err != nil {
				return err
			}
			a = on
			continue
		}
		reached, crossed := m.channel(a, b, t, i, s)
		if crossed != none {
			var err error
			if reached, err = m.cross(a, b, s, crossed, depth); err != nil {
				return err
			}
		}
		a = reached
	}
	return nil
}

// aimFrom looks round vertex a for the face through which the line to b
// leaves (a is its corner i), or for an edge that runs along the line: then
// edge i of face t is that edge and on the vertex it leads to.
func (m *tin) aimFrom(a, b int32) (t, i, on int32) {
	t = m.at[a]
	i = m.corner(t, a)
	pa, pb := m.p[a], m.p[b]
	for {
		f := &m.t[t]
		u, w := f.v[next3[i]], f.v[prev3[i]]
		if u == b {
			return t, prev3[i], b
		}
		ou := orient(pa, pb, m.p[u])
		if ou == 0 && dot(pa, pb, m.p[u]) > 0 {
			return t, prev3[i], u
		}
		if ou < 0 && w != b && orient(pa, pb, m.p[w]) > 0 {
			return t, i, none
		}
		g := f.n[next3[i]]
		t, i = g>>2, next3[g&3]
	}
}

// corner gives the place of vertex v in face t.
func (m *tin) corner(t, v int32) int32 { return int32(slices.Index(m.t[t].v[:], v)) }

// dot is (b-a)·(c-a).
func dot(a, b, c point) float64 { return (b.x-a.x)*(c.x-a.x) + (b.y-a.y)*(c.y-a.y) }

// mark sets edge i of face t as part of segment s, running along with it.
func (m *tin) mark(t, i, s int32) error {
	f := &m.t[t]
	g := f.n[i]
	old, seg := f.s[i], &m.segs[s-1]
	if old != 0 && seg.poly >= 0 && m.segs[segIndex(old)].poly >= 0 { // two outline edges on one another
		back := m.t[g>>2].s[g&3]
		if old > 0 || back < 0 {
			return fmt.Errorf("near %s: the outline runs twice along the same edge; unite the shapes first",
				m.where(f.v[next3[i]]))
		}
		f.s[i] = s // run once each way: copper on both sides
		return nil
	}
	m.join(4*t+i, s)
	return nil
}

// where prints a vertex for an error message.
func (m *tin) where(v int32) string {
	return fmt.Sprintf("(%.6f, %.6f) mm", m.p[v].x*metresPerTick*1e3, m.p[v].y*metresPerTick*1e3)
}

// channel clears the faces between vertex a and vertex b, or the first vertex
// on the line to it, and lays the edge. It starts through edge i of face t.
// If a constrained edge stands in the way nothing is changed and that
// half-edge is given.
func (m *tin) channel(a, b, t, i, s int32) (reached, crossed int32) {
	pa, pb := m.p[a], m.p[b]
	faces := append(m.cavity[:0], t)
	right := []chainEdge{m.chainEdge(t, prev3[i])}
	left := []chainEdge{m.chainEdge(t, next3[i])}
	for {
		if m.t[t].s[i] != 0 {
			return none, 4*t + i
		}
		g := m.t[t].n[i]
		t, i = g>>2, g&3
		c := m.t[t].v[i]
		faces = append(faces, t)
		side := 0.0
		if c != b {
			side = orient(pa, pb, m.p[c])
		}
		if side <= 0 {
			right = append(right, m.chainEdge(t, next3[i]))
		}
		if side >= 0 {
			left = append(left, m.chainEdge(t, prev3[i]))
		}
		switch {
		case side < 0:
			i = prev3[i]
		case side > 0:
			i = next3[i]
		default:
			slices.Reverse(left)
			m.cavity = faces
			m.rebuild(left, right, c, a, s)
			return c, none
		}
	}
}

// chainEdge describes edge i of face t.
func (m *tin) chainEdge(t, i int32) chainEdge {
	f := &m.t[t]
	return chainEdge{v: f.v[next3[i]], in: 4*t + i, out: f.n[i], s: f.s[i], made: none}
}

// rebuild triangulates both sides of the new edge a to b in place of the
// faces in m.cavity. left runs from b round to a, right from a round to b.
func (m *tin) rebuild(left, right []chainEdge, b, a, s int32) {
	if len(m.stampOf) < len(m.t) {
		m.stampOf = append(m.stampOf, make([]int32, len(m.t)-len(m.stampOf))...)
	}
	m.stamp++
	for _, t := range m.cavity {
		m.stampOf[t] = m.stamp
	}
	slots := m.cavity
	l := m.fan(left, 0, len(left), a, &slots)
	r := m.fan(right, 0, len(right), b, &slots)
	m.t[l>>2].n[l&3], m.t[r>>2].n[r&3] = r, l
	m.t[l>>2].s[l&3], m.t[r>>2].s[r&3] = s, -s
	m.joinLoose(left, right)
}

// joinLoose links the two sides of edges that lay wholly inside the channel.
func (m *tin) joinLoose(left, right []chainEdge) {
	var loose []*chainEdge
	for _, side := range [2][]chainEdge{left, right} {
		for i := range side {
			if e := &side[i]; e.out >= 0 && m.stampOf[e.out>>2] == m.stamp {
				loose = append(loose, e)
			}
		}
	}
	for _, e := range loose {
		for _, o := range loose {
			if o.in == e.out {
				m.t[e.made>>2].n[e.made&3] = o.made
			}
		}
	}
}

// fan triangulates the polygon of chain[lo:hi] closed by the edge from end
// back to chain[lo].v, with the corners that make every circle empty of the
// others, and gives the half-edge end to chain[lo].v.
func (m *tin) fan(chain []chainEdge, lo, hi int, end int32, slots *[]int32) int32 {
	first := chain[lo].v
	pa, pb := m.p[first], m.p[end]
	best := -1
	for k := lo + 1; k < hi; k++ {
		c := m.p[chain[k].v]
		if orient(pb, pa, c) <= 0 {
			continue
		}
		if best < 0 || inCircle(pb, pa, m.p[chain[best].v], c) > 0 {
			best = k
		}
	}
	if best < 0 {
		panic("mesh: no corner for a forced edge")
	}
	apex := chain[best].v
	t := (*slots)[0]
	*slots = (*slots)[1:]
	// Corners: apex, end, first. Edge 0 runs end to first.
	m.t[t] = triangle{v: [3]int32{apex, end, first}, n: [3]int32{none, none, none}}
	m.at[apex], m.at[end], m.at[first] = t, t, t
	m.hang(chain, lo, best, apex, 4*t+1, slots)
	m.hang(chain, best, hi, end, 4*t+2, slots)
	return 4 * t
}

// hang links half-edge h with what lies beyond it: a single edge of the
// chain, or a fan over several.
func (m *tin) hang(chain []chainEdge, lo, hi int, end, h int32, slots *[]int32) {
	if hi-lo > 1 {
		g := m.fan(chain, lo, hi, end, slots)
		m.t[h>>2].n[h&3], m.t[g>>2].n[g&3] = g, h
		return
	}
	e := &chain[lo]
	e.made = h
	m.t[h>>2].s[h&3] = e.s
	m.t[h>>2].n[h&3] = e.out
	if e.out >= 0 && m.stampOf[e.out>>2] != m.stamp {
		m.t[e.out>>2].n[e.out&3] = h
	}
}

// cross splits the constrained half-edge h where the line a to b meets it and
// forces the part from a to the new vertex, which it gives.
func (m *tin) cross(a, b, s, h int32, depth int) (int32, error) {
	f := &m.t[h>>2]
	u, w := f.v[next3[h&3]], f.v[prev3[h&3]]
	old := m.segs[segIndex(f.s[h&3])]
	if m.segs[s-1].poly >= 0 && old.poly >= 0 {
		return none, fmt.Errorf("near %s: the outline crosses itself; unite the shapes first", m.where(u))
	}
	if depth > 40 {
		return none, fmt.Errorf("near %s: curves and outline cannot be told apart; move the curve by some "+
			"nanometres", m.where(u))
	}
	x := meet(m.p[a], m.p[b], m.p[u], m.p[w])
	if depth < snapDepth {
		switch g := f.n[h&3]; {
		case u != b && m.near(x, m.p[u]):
			return u, m.force(a, u, s, depth+1)
		case w != b && m.near(x, m.p[w]):
			return w, m.force(a, w, s, depth+1)
		case f.v[h&3] == a && m.bend(h>>2, h&3), m.t[g>>2].v[g&3] == b && m.bend(g>>2, g&3):
			return a, nil
		}
	}
	dx, dy := m.p[w].x-m.p[u].x, m.p[w].y-m.p[u].y
	length := math.Hypot(dx, dy)
	for _, off := range crossingTries {
		q := point{
			math.Round(x.x + (off[0]*dx-off[1]*dy)/length),
			math.Round(x.y + (off[0]*dy+off[1]*dx)/length),
		}
		v := int32(none)
		switch q {
		case m.p[u]:
			v = u
		case m.p[w]:
			v = w
		default:
			if q == m.p[a] || q == m.p[b] {
				continue
			}
			n, ok := m.splitEdge(h, q)
			if !ok {
				continue
			}
			v = n
			m.fixed = append(m.fixed, old.poly >= 0)
		}
		return v, m.force(a, v, s, depth+1)
	}
	return none, fmt.Errorf("near %s: curve and outline meet at too flat an angle; move the curve by "+
		"some nanometres", m.where(u))
}

// snapDepth is how deep a line may be led through vertices beside it before
// it must take its own way.
const snapDepth = 8

// crossingTries are shifts of a crossing along and across the line that is
// split, in ticks (millionths of a nanometre): where a face of less than a
// tick's height lies on one side, the bend must go to the other.
var crossingTries = [...][2]float64{
	{0, 0}, {0, 2}, {0, -2}, {4, 0}, {-4, 0}, {0, 16}, {0, -16},
	{64, 0}, {-64, 0}, {64, 4}, {64, -4}, {-64, 4}, {-64, -4}, {1024, 16}, {1024, -16}, {-1024, 16},
	{-1024, -16},
}

// meet gives where the lines a-b and u-w cross, to float64 accuracy.
func meet(a, b, u, w point) point {
	dx, dy := w.x-u.x, w.y-u.y
	ca := (a.x-u.x)*dy - (a.y-u.y)*dx
	cb := (b.x-u.x)*dy - (b.y-u.y)*dx
	// The fraction along u-w is better conditioned where the line is short.
	r := ca / (ca - cb)
	x := point{a.x + r*(b.x-a.x), a.y + r*(b.y-a.y)}
	// Drop onto u-w, which is what gets split.
	k := ((x.x-u.x)*dx + (x.y-u.y)*dy) / (dx*dx + dy*dy)
	k = min(max(k, 0), 1)
	return point{math.Round(u.x + k*dx), math.Round(u.y + k*dy)}
}
