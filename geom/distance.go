package geom

import "math"

// Vec is a place in nanometres that need not lie on the integer grid.
type Vec struct {
	X, Y float64 // nanometres
}

// Vec gives the point in floating nanometres.
func (p Point) Vec() Vec { return Vec{float64(p.X), float64(p.Y)} }

// Round gives the nearest integer point.
func (v Vec) Round() Point { return Point{int64(math.Round(v.X)), int64(math.Round(v.Y))} }

// Distance is the distance of two points in nanometres.
func Distance(a, b Point) float64 { return math.Hypot(float64(a.X-b.X), float64(a.Y-b.Y)) }

// NearestOnSegment is the point of the closed segment ab that is nearest to p.
func NearestOnSegment(p, a, b Point) Vec {
	dx, dy := float64(b.X-a.X), float64(b.Y-a.Y)
	px, py := float64(p.X-a.X), float64(p.Y-a.Y)
	l2 := dx*dx + dy*dy
	if l2 == 0 {
		return a.Vec()
	}
	t := (px*dx + py*dy) / l2
	switch {
	case t <= 0:
		return a.Vec()
	case t >= 1:
		return b.Vec()
	}
	return Vec{float64(a.X) + t*dx, float64(a.Y) + t*dy}
}

// DistPointSegment is the distance of p from the closed segment ab in
// nanometres; it is 0 exactly when p lies on it.
func DistPointSegment(p, a, b Point) float64 {
	dx, dy := float64(b.X-a.X), float64(b.Y-a.Y)
	px, py := float64(p.X-a.X), float64(p.Y-a.Y)
	along, l2 := px*dx+py*dy, dx*dx+dy*dy
	switch {
	case along <= 0:
		return math.Hypot(px, py)
	case along >= l2:
		return Distance(p, b)
	}
	return math.Abs(float64(cross(a, b, p))) / math.Sqrt(l2)
}

// Closest gives the points p on s and q on t nearest to each other and their
// distance in nanometres. Segments that share a point have distance 0.
func Closest(s, t Segment) (p, q Vec, dist float64) {
	if SegmentsCross(s.A, s.B, t.A, t.B) {
		x := meet(s, t)
		return x, x, 0
	}
	dist = math.Inf(1)
	try := func(pp, qq Vec, d float64) {
		if d < dist {
			p, q, dist = pp, qq, d
		}
	}
	for _, a := range [2]Point{s.A, s.B} {
		try(a.Vec(), NearestOnSegment(a, t.A, t.B), DistPointSegment(a, t.A, t.B))
	}
	for _, b := range [2]Point{t.A, t.B} {
		try(NearestOnSegment(b, s.A, s.B), b.Vec(), DistPointSegment(b, s.A, s.B))
	}
	return p, q, dist
}

// meet is the crossing of two segments known to cross properly.
func meet(s, t Segment) Vec {
	num := float64(cross(t.A, t.B, s.A))
	den := num - float64(cross(t.A, t.B, s.B))
	u := num / den
	return Vec{
		float64(s.A.X) + u*float64(s.B.X-s.A.X),
		float64(s.A.Y) + u*float64(s.B.Y-s.A.Y),
	}
}
