package geom

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
