package geom

// Rule says which winding numbers are filled.
type Rule int

const (
	NonZero Rule = iota // every winding number but 0
	EvenOdd             // odd winding numbers
)

// Fill gives the area that rings fill by the rule. The rings may cross
// themselves and each other, overlap, repeat or be degenerate. The result is
// clean: outer rings counter-clockwise, holes clockwise, every ring simple, no
// two rings sharing an edge; rings may touch in vertices. Coordinates beyond
// MaxCoord are clamped to it. Crossings are rounded to the nanometre by snap
// rounding, which moves no edge by more than a few nanometres.
func Fill(rings []Ring, rule Rule) Region { return fill(rings, rule, nil) }

func fill(rings []Ring, rule Rule, b *budget) Region {
	in := intake{budget: b}
	for _, r := range rings {
		in.ring(r, 0)
	}
	return in.solve(&oneWinding{rule: rule})
}

type oneWinding struct {
	n    int32
	rule Rule
}

func (s *oneWinding) step(_, w int32) { s.n += w }
func (s *oneWinding) inside() bool {
	if s.rule == EvenOdd {
		return s.n&1 != 0
	}
	return s.n != 0
}

// twoWindings judges faces by whether they lie in the first and in the second
// operand.
type twoWindings struct {
	n    [2]int32
	keep func(a, b bool) bool
}

func (s *twoWindings) step(ch, w int32) { s.n[ch] += w }
func (s *twoWindings) inside() bool     { return s.keep(s.n[0] != 0, s.n[1] != 0) }

// Union gives the area that lies in any of the regions.
func Union(rs ...Region) Region {
	var in intake
	for _, r := range rs {
		in.region(r, 0)
	}
	return in.solve(&oneWinding{})
}

// Difference gives the area of a outside b.
func Difference(a, b Region) Region {
	return combineTwo(a, b, func(a, b bool) bool { return a && !b })
}

// Intersection gives the area that lies in both regions.
func Intersection(a, b Region) Region {
	return combineTwo(a, b, func(a, b bool) bool { return a && b })
}

func combineTwo(a, b Region, keep func(a, b bool) bool) Region {
	var in intake
	in.region(a, 0)
	in.region(b, 1)
	return in.solve(&twoWindings{keep: keep})
}

// intake collects rings as edges between numbered points.
type intake struct {
	points []Point
	pieces []piece // ends number points
	budget *budget // nil: no bound
}

func (in *intake) ring(r Ring, ch int32) {
	if len(r) < 3 {
		return
	}
	first := int32(len(in.points))
	for i, p := range r {
		in.points = append(in.points, clampPoint(p))
		in.pieces = append(in.pieces, piece{first + int32(i), first + int32((i+1)%len(r)), ch, 1})
	}
}

// region adds outer rings counter-clockwise and holes clockwise, also those
// that a caller turned the wrong way.
func (in *intake) region(r Region, ch int32) {
	add := func(ring Ring, turn float64) {
		if ring.Area()*turn < 0 {
			ring = ring.Reverse()
		}
		in.ring(ring, ch)
	}
	for _, p := range r {
		add(p.Outer, 1)
		for _, h := range p.Holes {
			add(h, -1)
		}
	}
}

func clampPoint(p Point) Point {
	return Point{max(-MaxCoord, min(p.X, MaxCoord)), max(-MaxCoord, min(p.Y, MaxCoord))}
}

// network merges equal points and edges.
func (in *intake) network() *network {
	pts, place := pointsOf(in.points)
	for i := range in.pieces {
		p := &in.pieces[i]
		p.u, p.v = place[p.u], place[p.v]
	}
	return combine(pts, in.pieces)
}

func (in *intake) solve(state windings) Region {
	n := in.network()
	if n.edges() == 0 {
		return nil
	}
	n = snap(n, in.budget)
	if in.budget.spent() {
		return nil // not a planar network
	}
	f := newFaces(n)
	return f.region(f.judge(state))
}
