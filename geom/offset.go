package geom

import (
	"math"
	"slices"
)

// Offset moves the boundary of a clean region outward by a distance (or
// inward, if it is negative) with round joins: all points within the distance
// are added or taken away. Round joins are chords with an error of at most tol
// nanometres, on the side of too little movement.
func Offset(r Region, by int64, tol int64) Region {
	by = max(-2*MaxCoord, min(by, 2*MaxCoord))
	switch {
	case by == 0:
		return Union(r)
	case by > 0:
		var in intake
		in.region(r, 0)
		r.Rings(func(ring Ring) { in.border(ring, 0, by, tol) })
		return in.solve(&oneWinding{})
	}
	var in intake
	in.region(r, 0)
	r.Rings(func(ring Ring) { in.border(ring.Reverse(), 1, -by, tol) })
	return in.solve(&twoWindings{keep: func(a, b bool) bool { return a && !b }})
}

// border adds the strip of the given width on the right of a ring: a rectangle
// at every edge and a sector at every vertex that turns left.
func (in *intake) border(r Ring, ch int32, by, tol int64) {
	r = slices.Clone(r).Tidy()
	n := len(r)
	if n < 2 {
		return
	}
	chord := 2 * math.Pi / float64(sides(float64(by), tol))
	for i, b := range r {
		a, c := r[(i+n-1)%n], r[(i+1)%n]
		from, to := across(a, b, by), across(b, c, by)
		in.ring(Ring{b, c, {c.X + to.X, c.Y + to.Y}, {b.X + to.X, b.Y + to.Y}}.Reverse(), ch)
		dx, dy := float64(b.X-a.X), float64(b.Y-a.Y)
		ex, ey := float64(c.X-b.X), float64(c.Y-b.Y)
		if turn := Orient(a, b, c); turn < 0 || turn == 0 && dx*ex+dy*ey >= 0 {
			continue
		}
		sweep := math.Atan2(float64(cross(a, b, c)), float64(dx*ex)+float64(dy*ey))
		steps := max(1, int(math.Ceil(math.Abs(sweep)/chord)))
		start := math.Atan2(-dx, dy)
		fan := make(Ring, 0, steps+2)
		fan = append(fan, b, Point{b.X + from.X, b.Y + from.Y})
		for k := 1; k < steps; k++ {
			sin, cos := math.Sincos(start + math.Abs(sweep)*float64(k)/float64(steps))
			fan = append(fan, Point{
				b.X + int64(math.Round(float64(by)*cos)),
				b.Y + int64(math.Round(float64(by)*sin)),
			})
		}
		in.ring(append(fan, Point{b.X + to.X, b.Y + to.Y}), ch)
	}
}

// across is the vector of length by to the right of the edge ab.
func across(a, b Point, by int64) Point {
	dx, dy := float64(b.X-a.X), float64(b.Y-a.Y)
	f := float64(by) / math.Hypot(dx, dy)
	return Point{int64(math.Round(dy * f)), int64(math.Round(-dx * f))}
}
