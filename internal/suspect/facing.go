package suspect

import (
	"math"

	"ohmward/geom"
)

// facing is how a stretch of one outline lies to other copper: the places P
// on it and Q on the other where they are nearest.
type facing struct {
	p, q geom.Point
	gap  float64 // metres from P to Q
	// typical is the gap at the middle of the stretch, which stands for all of
	// it, and share the fraction of the stretch that sees the other copper.
	typical, share float64
	edge           int32 // Q's edge in the index of the others
}

// facer finds what outlines face.
type facer struct {
	others *geom.EdgeIndex       // the copper that may be faced
	accept func(edge int32) bool // nil: all of it
	all    *geom.EdgeIndex       // all copper that may stand between
	reach  float64               // widest gap, metres
	buffer []int32
}

// The narrowest place of a stretch stands for it where it undercuts the middle
// by more than narrower (metres): a flat facing edge is shown at its middle, a
// corner at the corner. Where it undercuts it by more than steep, both are
// shown, and each stands for half.
const (
	narrower = 5e-6
	steep    = 50e-6
)

// face looks from a stretch at the other copper, the nearest within reach
// with nothing between, and calls visit with none, one or two places.
func (f *facer) face(s stretch, visit func(facing)) {
	mid := facing{share: 1}
	within := f.reach
	hit, seen := f.nearest(s.mid, s.edge)
	if seen {
		mid.p, mid.q, mid.gap, mid.edge = s.mid, hit.On.Round(), hit.Dist*1e-9, hit.Edge
		mid.typical = mid.gap
		within = mid.gap - narrower
		seen = !blocked(f.all, mid.p, mid.q)
	}
	tip, ok := f.narrowest(s, within)
	ok = ok && !blocked(f.all, tip.p, tip.q)
	switch {
	case ok && !seen:
		tip.typical, tip.share = tip.gap, s.share(f.sees)
	case ok && mid.gap-tip.gap < steep:
		tip.typical, tip.share = mid.gap, 1
		seen = false
	case ok:
		tip.typical, tip.share, mid.share = (tip.gap+mid.gap)/2, 0.5, 0.5
	}
	if ok {
		visit(tip)
	}
	if seen {
		visit(mid)
	}
}

// nearest finds the nearest other copper within reach of a point on an edge
// of copper, as far as it lies outside the edge: what lies behind would only
// be seen through the copper itself, and must not hide what is before it. A
// point at a corner looks both ways.
func (f *facer) nearest(p geom.Point, edge geom.Segment) (geom.Facing, bool) {
	corner := p == edge.A || p == edge.B
	return f.others.Nearest(p, nm(f.reach), func(i int32) bool {
		return (f.accept == nil || f.accept(i)) && (corner || !behind(edge, f.others.Edge(i).Segment))
	})
}

// squared is the squared distance of a point from a segment in square
// nanometres.
func squared(p geom.Point, s geom.Segment) float64 {
	dx, dy := float64(s.B.X-s.A.X), float64(s.B.Y-s.A.Y)
	px, py := float64(p.X-s.A.X), float64(p.Y-s.A.Y)
	along, l2 := px*dx+py*dy, dx*dx+dy*dy
	switch {
	case along <= 0:
	case along >= l2:
		px, py = px-dx, py-dy
	default:
		across := px*dy - py*dx
		return across * across / l2
	}
	return px*px + py*py
}

// squaredApart is the same for two segments that do not cross.
func squaredApart(s, t geom.Segment) float64 {
	return min(squared(s.A, t), squared(s.B, t), squared(t.A, s), squared(t.B, s))
}

// behind tells whether all of s lies on the copper's side, the left, of an
// edge's line.
func behind(edge, s geom.Segment) bool {
	return geom.Orient(edge.A, edge.B, s.A) > 0 && geom.Orient(edge.A, edge.B, s.B) > 0
}

// sees tells whether a point on an edge faces the other copper.
func (f *facer) sees(p geom.Point, edge geom.Segment) bool {
	hit, ok := f.nearest(p, edge)
	return ok && !blocked(f.all, p, hit.On.Round())
}

// narrowest finds the places of a stretch and of the other copper that are
// nearest to each other, closer than within metres.
func (f *facer) narrowest(s stretch, within float64) (out facing, ok bool) {
	if within <= 0 {
		return out, false
	}
	best := within * 1e9
	f.buffer = f.others.Query(s.bounds().Grow(int64(best)), f.buffer[:0])
	for _, e := range f.buffer {
		if f.accept != nil && !f.accept(e) {
			continue
		}
		other := f.others.Edge(e).Segment
		reach := other.Bounds().Grow(int64(best))
		for i, a := range s.points[:len(s.points)-1] {
			piece := geom.Segment{A: a, B: s.points[i+1]}
			if !piece.Bounds().Touches(reach) || behind(piece, other) {
				continue
			}
			if squaredApart(piece, other) >= best*best {
				continue
			}
			if at, on, d := geom.Closest(piece, other); d < best {
				out, best, ok = facing{p: at.Round(), q: on.Round(), gap: d * 1e-9, edge: e}, d, true
			}
		}
	}
	return out, ok
}

// blockedSlack keeps the copper that a line starts and ends on from blocking
// it, in nanometres.
const blockedSlack = 30

// blocked tells whether any copper outline lies between two points on
// outlines.
func blocked(all *geom.EdgeIndex, p, q geom.Point) bool {
	dx, dy := float64(q.X-p.X), float64(q.Y-p.Y)
	l := math.Hypot(dx, dy)
	if l <= 2*blockedSlack {
		return false
	}
	ux, uy := int64(math.Round(dx/l*blockedSlack)), int64(math.Round(dy/l*blockedSlack))
	a, b := geom.Point{X: p.X + ux, Y: p.Y + uy}, geom.Point{X: q.X - ux, Y: q.Y - uy}
	var buffer [32]int32
	for _, i := range all.Query(geom.EmptyBox().Extend(a).Extend(b), buffer[:0]) {
		if s := all.Edge(i); geom.SegmentsCross(s.A, s.B, a, b) {
			return true
		}
	}
	return false
}
