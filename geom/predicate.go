package geom

import "math/bits"

// Orient is +1 if a, b, c turn counter-clockwise, -1 if clockwise, 0 if they
// lie on one line. It is exact.
func Orient(a, b, c Point) int { return sign(cross(a, b, c)) }

// cross is twice the signed area of a, b, c; at most 8e18 within MaxCoord.
func cross(a, b, c Point) int64 {
	return (b.X-a.X)*(c.Y-a.Y) - (b.Y-a.Y)*(c.X-a.X)
}

func sign(v int64) int {
	switch {
	case v > 0:
		return 1
	case v < 0:
		return -1
	}
	return 0
}

func abs(v int64) int64 {
	if v < 0 {
		return -v
	}
	return v
}

// InCircle is +1 if d lies inside the circle through a, b, c, -1 outside, 0
// on it, for counter-clockwise a, b, c; the sign turns for clockwise ones. It
// is exact: a float filter decides the clear cases, 128-bit sums the rest.
func InCircle(a, b, c, d Point) int {
	ax, ay := a.X-d.X, a.Y-d.Y
	bx, by := b.X-d.X, b.Y-d.Y
	cx, cy := c.X-d.X, c.Y-d.Y
	la, lb, lc := ax*ax+ay*ay, bx*bx+by*by, cx*cx+cy*cy
	da, db, dc := bx*cy-by*cx, cx*ay-cy*ax, ax*by-ay*bx
	ta, tb, tc := float64(la)*float64(da), float64(lb)*float64(db), float64(lc)*float64(dc)
	det := ta + tb + tc
	// Each term carries at most 3 roundings, the sum 2 more: 8 units of
	// 2^-53 of the sum of magnitudes bound them all.
	bound := (absf(ta) + absf(tb) + absf(tc)) * 8 / (1 << 53)
	if det > bound {
		return 1
	}
	if det < -bound {
		return -1
	}
	var up, down sum128
	for _, t := range [3][2]int64{{la, da}, {lb, db}, {lc, dc}} {
		if t[1] >= 0 {
			up.add(uint64(t[0]), uint64(t[1]))
		} else {
			down.add(uint64(t[0]), uint64(-t[1]))
		}
	}
	return up.compare(down)
}

func absf(v float64) float64 {
	if v < 0 {
		return -v
	}
	return v
}

// sum128 adds products of magnitudes up to 8e18: three of them stay below
// 2^128.
type sum128 struct{ hi, lo uint64 }

func (s *sum128) add(a, b uint64) {
	hi, lo := bits.Mul64(a, b)
	var carry uint64
	s.lo, carry = bits.Add64(s.lo, lo, 0)
	s.hi, _ = bits.Add64(s.hi, hi, carry)
}

func (s sum128) compare(t sum128) int {
	switch {
	case s.hi > t.hi || s.hi == t.hi && s.lo > t.lo:
		return 1
	case s == t:
		return 0
	}
	return -1
}

// Bounds is the smallest box around the segment.
func (s Segment) Bounds() Box { return Box{s.A, s.A}.Extend(s.B) }

// OnSegment tells whether p lies on the closed segment from a to b.
func OnSegment(p, a, b Point) bool {
	return between(p.X, a.X, b.X) && between(p.Y, a.Y, b.Y) && cross(a, b, p) == 0
}

func between(v, a, b int64) bool { return a <= v && v <= b || b <= v && v <= a }

// SegmentsCross tells whether the segments ab and cd cross in one point that
// is inside both.
func SegmentsCross(a, b, c, d Point) bool {
	if max(a.X, b.X) < min(c.X, d.X) || max(c.X, d.X) < min(a.X, b.X) ||
		max(a.Y, b.Y) < min(c.Y, d.Y) || max(c.Y, d.Y) < min(a.Y, b.Y) {
		return false
	}
	return Orient(a, b, c)*Orient(a, b, d) < 0 && Orient(c, d, a)*Orient(c, d, b) < 0
}

// SegmentsTouch tells whether the closed segments ab and cd share a point.
func SegmentsTouch(a, b, c, d Point) bool {
	return SegmentsCross(a, b, c, d) || OnSegment(a, c, d) || OnSegment(b, c, d) ||
		OnSegment(c, a, b) || OnSegment(d, a, b)
}
