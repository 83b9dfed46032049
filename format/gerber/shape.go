package gerber

import (
	"math"
	"slices"

	"ohmward/geom"
)

// chord is the largest distance between a curve and the chord that stands for
// it, in nanometres: 0.25 um, less what rounding to nanometres may add.
const chord = 249.0

// steps gives how many chords a turn of the given angle (radians) needs at a
// radius in nanometres so that none strays further than tol from the curve.
func steps(radius, angle, tol float64) int {
	if radius <= tol {
		return max(1, int(math.Ceil(angle/(math.Pi/4)-1e-9)))
	}
	each := 2 * math.Acos(1-tol/radius)
	return max(1, int(math.Ceil(angle/min(each, math.Pi/4)-1e-9)))
}

// bent gives how many chords stand for an arc, and how much further out than
// the arc the corners between its two ends must lie so that the sector keeps
// its area: corners on the arc would make a disc of 75 um radius 0.4 % too
// small.
//
// With m chords of angle a each, the area is that of two triangles with one
// end and m-2 with none: (2g + (m-2)gg) sin(a) = m a. For many chords the
// corners then lie two thirds of the chords' rise outside, the chords' middles
// one third inside; for m = 3 it is the rise itself, and for two chords more
// than that, so there are never two. The turn at the ends stays convex.
func bent(radius, angle, tol float64) (m int, grown float64) {
	m = steps(radius, angle, tol)
	if m == 1 {
		return m, 1
	}
	m = max(3, m)
	a, inner := angle/float64(m), float64(m-2)
	return m, (math.Sqrt(1+inner*float64(m)*a/math.Sin(a)) - 1) / inner
}

// quarter is bent for a quarter of a disc.
func quarter(radius, tol float64) (m int, grown float64) {
	return bent(radius, math.Pi/2, min(tol, radius/50))
}

// circle gives a polygon of a circle's area, counter-clockwise, with corners
// on the circle on both axes so that its extents are exact.
func circle(cx, cy, radius float64) geom.Ring {
	m, grown := quarter(radius, chord)
	n := 4 * m
	ring := make(geom.Ring, 0, n)
	for k := range n {
		s, c := math.Sincos(2 * math.Pi * float64(k) / float64(n))
		r := radius
		if k%m != 0 {
			r *= grown
		}
		ring = appendPoint(ring, cx+r*c, cy+r*s)
	}
	return closeRing(ring)
}

// polygon gives a regular polygon on a circle; turn is the first corner's
// angle in radians.
func polygon(cx, cy, radius float64, n int, turn float64) geom.Ring {
	ring := make(geom.Ring, 0, n)
	for k := range n {
		s, c := math.Sincos(turn + 2*math.Pi*float64(k)/float64(n))
		ring = appendPoint(ring, cx+radius*c, cy+radius*s)
	}
	return closeRing(ring)
}

// rectangle gives a centred rectangle of exact width and height.
func rectangle(w, h int64) geom.Ring {
	x, y := -(w / 2), -(h / 2)
	return geom.Ring{{X: x, Y: y}, {X: x + w, Y: y}, {X: x + w, Y: y + h}, {X: x, Y: y + h}}
}

// obround gives a centred rectangle with its shorter sides rounded.
func obround(w, h int64) geom.Ring {
	r := float64(min(w, h)) / 2
	var a, b geom.Vec
	switch {
	case w > h:
		a, b = geom.Vec{X: -float64(w)/2 + r, Y: 0}, geom.Vec{X: float64(w)/2 - r, Y: 0}
	case h > w:
		a, b = geom.Vec{X: 0, Y: -float64(h)/2 + r}, geom.Vec{X: 0, Y: float64(h)/2 - r}
	default:
		return circle(0, 0, r)
	}
	return capsule(a, b, r, chord)
}

// capsule gives what a disc sweeps between two distinct places,
// counter-clockwise: its sides exactly, its ends with a disc's area.
func capsule(a, b geom.Vec, radius, tol float64) geom.Ring {
	dx, dy := b.X-a.X, b.Y-a.Y
	l := math.Hypot(dx, dy)
	ux, uy := dx/l, dy/l
	m, grown := quarter(radius, tol)
	n := 2 * m
	ring := make(geom.Ring, 0, 2*n+2)
	for _, end := range []struct {
		at   geom.Vec
		sign float64
	}{{b, 1}, {a, -1}} {
		for k := 0; k <= n; k++ {
			// from the right-hand side of the direction, over the end, to the left
			s, c := math.Sincos(math.Pi * (float64(k)/float64(n) - 0.5))
			r := radius
			switch {
			case k == 0 || k == n:
				c = 0
			case k != m:
				r *= grown
			}
			ring = appendPoint(ring,
				end.at.X+end.sign*r*(c*ux-s*uy),
				end.at.Y+end.sign*r*(c*uy+s*ux))
		}
	}
	return closeRing(ring)
}

// appendPoint rounds to nanometres.
func appendPoint(ring geom.Ring, x, y float64) geom.Ring {
	return append(ring, geom.Vec{X: x, Y: y}.Round())
}

// closeRing drops corners that repeat others, and gives nil where too few are
// left to enclose anything.
func closeRing(ring geom.Ring) geom.Ring {
	if ring = ring.Tidy(); len(ring) < 3 {
		return nil
	}
	return ring
}

// ccw gives the ring counter-clockwise, reversed in place where needed.
func ccw(ring geom.Ring) geom.Ring {
	if ring.Area() < 0 {
		slices.Reverse(ring)
	}
	return ring
}

// cw gives the ring clockwise, reversed in place where needed.
func cw(ring geom.Ring) geom.Ring {
	if ring.Area() > 0 {
		slices.Reverse(ring)
	}
	return ring
}

// move gives copies of the rings shifted by d.
func move(rings []geom.Ring, d geom.Point) []geom.Ring {
	all := make(geom.Ring, 0, corners(rings))
	out := make([]geom.Ring, len(rings))
	for i, ring := range rings {
		from := len(all)
		for _, p := range ring {
			all = append(all, geom.Point{X: p.X + d.X, Y: p.Y + d.Y})
		}
		out[i] = all[from:len(all):len(all)]
	}
	return out
}

// reach is the largest coordinate of the rings, without its sign.
func reach(in []geom.Ring) int64 {
	most := int64(0)
	for _, ring := range in {
		for _, p := range ring {
			most = max(most, p.X, -p.X, p.Y, -p.Y)
		}
	}
	return most
}

// paint resolves coats laid one over the other into rings with disjoint
// insides: outlines counter-clockwise, holes clockwise.
func paint(coats []geom.Coat) ([]geom.Ring, error) {
	region, err := geom.PaintBounded(coats)
	return region.AllRings(), err
}
