package geom

import (
	"math"
	"math/bits"
)

// A pixel is the half-open unit square around an integer point: left and
// bottom sides belong to it, right and top do not. Rounding half up sends
// every place of the plane to the one pixel that holds it.

// captures tells whether the segment from a to b passes through the pixel of
// p. Both ends are integer points, so only pixels centred in the segment's
// box can be met.
func captures(a, b, p Point) bool {
	if !between(p.X, a.X, b.X) || !between(p.Y, a.Y, b.Y) {
		return false
	}
	dx, dy := b.X-a.X, b.Y-a.Y
	return hits(dx, dy, dx*(p.Y-a.Y)-dy*(p.X-a.X))
}

// hits judges a pixel in the segment's box by the cross product c of the
// segment (dx,dy) and the way from its start to the pixel's centre: the line
// cuts the pixel's interior if 2|c| < |dx|+|dy| and touches one corner if
// equal. Only the bottom left corner belongs to the pixel.
func hits(dx, dy, c int64) bool {
	reach := abs(dx) + abs(dy)
	c2 := 2 * abs(c)
	if c2 != reach {
		return c2 < reach
	}
	// A falling line below the centre touches the bottom left corner.
	return dx > 0 && dy < 0 && c > 0 || dx < 0 && dy > 0 && c < 0
}

// crossing gives the pixel of the point in which ab and cd cross properly.
func crossing(a, b, c, d Point) (Point, bool) {
	ca, cb := cross(c, d, a), cross(c, d, b)
	if ca == 0 || cb == 0 || (ca > 0) == (cb > 0) {
		return Point{}, false
	}
	cc, cd := cross(a, b, c), cross(a, b, d)
	if cc == 0 || cd == 0 || (cc > 0) == (cd > 0) {
		return Point{}, false
	}
	num := uint64(abs(ca))
	den := num + uint64(abs(cb))
	return Point{a.X + roundedPart(b.X-a.X, num, den), a.Y + roundedPart(b.Y-a.Y, num, den)}, true
}

// roundedPart is floor(d*num/den + 1/2) for 0 < num < den < 2^63, |d| < 2^31.
func roundedPart(d int64, num, den uint64) int64 {
	// The quotient carries an error below 2^-20: far from a half, floats do.
	f := float64(d) * (float64(num) / float64(den))
	r := math.Floor(f + 0.5)
	if off := f + 0.5 - r; off > 1e-5 && off < 1-1e-5 {
		return int64(r)
	}
	hi, lo := bits.Mul64(uint64(abs(d)), num)
	q, rest := bits.Div64(hi, lo, den)
	up := int64(q)
	switch {
	case d >= 0 && rest >= den-rest:
		return up + 1
	case d >= 0:
		return up
	case rest > den-rest:
		return -up - 1
	}
	return -up
}
