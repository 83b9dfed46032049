package geom

import (
	"math"
	"slices"
)

// Area is the signed area in nm²: positive for a counter-clockwise ring.
func (r Ring) Area() float64 {
	if len(r) < 3 {
		return 0
	}
	// Differences from the first point keep every term small; the sum is
	// compensated, so large thin rings keep their digits.
	o, sum, lost := r[0], 0.0, 0.0
	for i := 2; i < len(r); i++ {
		term := float64(cross(o, r[i-1], r[i])) - lost
		next := sum + term
		lost = (next - sum) - term
		sum = next
	}
	return sum / 2
}

// Bounds is the smallest box around the ring; empty for an empty ring.
func (r Ring) Bounds() Box {
	b := EmptyBox()
	for _, p := range r {
		b = b.Extend(p)
	}
	return b
}

// Reverse gives the ring in the other direction, beginning at the same point.
func (r Ring) Reverse() Ring {
	out := make(Ring, len(r))
	for i, p := range r {
		out[(len(r)-i)%len(r)] = p
	}
	return out
}

// Tidy drops, in place, corners that repeat the one before them or, at the end,
// the first.
func (r Ring) Tidy() Ring {
	r = slices.Compact(r)
	for len(r) > 1 && r[0] == r[len(r)-1] {
		r = r[:len(r)-1]
	}
	return r
}

// Edges calls visit with every side of the ring in its direction.
func (r Ring) Edges(visit func(Segment)) {
	for i, p := range r {
		visit(Segment{p, r[(i+1)%len(r)]})
	}
}

// Move gives the ring shifted by d.
func (r Ring) Move(d Point) Ring {
	return r.mapped(func(p Point) Point { return Point{p.X + d.X, p.Y + d.Y} })
}

// Rotate gives the ring turned counter-clockwise about c by degrees; multiples
// of 90 are exact, others are rounded to the nanometre.
func (r Ring) Rotate(c Point, degrees float64) Ring {
	sin, cos := SinCos(degrees)
	return r.mapped(func(p Point) Point {
		x, y := float64(p.X-c.X), float64(p.Y-c.Y)
		return Point{
			c.X + int64(math.Round(float64(x*cos)-float64(y*sin))),
			c.Y + int64(math.Round(float64(x*sin)+float64(y*cos))),
		}
	})
}

// MirrorX gives the ring with x negated about the line x = at, in the reverse
// order so that its direction of turn stays.
func (r Ring) MirrorX(at int64) Ring {
	return r.mapped(func(p Point) Point { return Point{2*at - p.X, p.Y} }).Reverse()
}

// MirrorY gives the ring with y negated about the line y = at, in the reverse
// order so that its direction of turn stays.
func (r Ring) MirrorY(at int64) Ring {
	return r.mapped(func(p Point) Point { return Point{p.X, 2*at - p.Y} }).Reverse()
}

// Scale gives the ring enlarged about c by a positive factor, rounded to the
// nanometre.
func (r Ring) Scale(c Point, factor float64) Ring {
	return r.mapped(func(p Point) Point {
		return Point{
			c.X + int64(math.Round(float64(p.X-c.X)*factor)),
			c.Y + int64(math.Round(float64(p.Y-c.Y)*factor)),
		}
	})
}

func (r Ring) mapped(f func(Point) Point) Ring {
	out := make(Ring, len(r))
	for i, p := range r {
		out[i] = f(p)
	}
	return out
}

// SinCos gives sine and cosine of an angle in degrees, exact at multiples of
// 90.
func SinCos(degrees float64) (sin, cos float64) {
	turn := math.Mod(degrees, 360)
	if turn < 0 {
		turn += 360
	}
	switch turn {
	case 0, 360:
		return 0, 1
	case 90:
		return 1, 0
	case 180:
		return 0, -1
	case 270:
		return -1, 0
	}
	return math.Sincos(turn * math.Pi / 180)
}
