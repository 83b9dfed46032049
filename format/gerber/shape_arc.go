package gerber

import (
	"math"

	"ohmward/geom"
)

// arc is a circular arc between two places. Writers round places and centre
// apart from each other, so the two radii may differ a little: the radius
// then runs evenly from one to the other, and both ends stay exact.
type arc struct {
	from, to geom.Point
	centre   geom.Vec
	r0, r1   float64 // nanometres
	a0       float64 // angle at the start, radians
	sweep    float64 // radians, positive counter-clockwise, never 0
}

// newArc makes an arc about a centre. With full, equal ends mean a whole turn
// (multi-quadrant mode). ok is false where the arc has no extent or radius.
func newArc(from, to geom.Point, centre geom.Vec, clockwise, full bool) (a arc, ok bool) {
	p, q := from.Vec(), to.Vec()
	a = arc{from: from, to: to, centre: centre}
	px, py := p.X-centre.X, p.Y-centre.Y
	qx, qy := q.X-centre.X, q.Y-centre.Y
	a.r0, a.r1 = math.Hypot(px, py), math.Hypot(qx, qy)
	if a.r0 < 0.5 || a.r1 < 0.5 {
		return a, false
	}
	a.a0 = math.Atan2(py, px)
	if from == to {
		a.sweep = 2 * math.Pi
		if clockwise {
			a.sweep = -a.sweep
		}
		return a, full
	}
	// The sign of the cross product is exact, so a short arc is never taken
	// for nearly a whole turn by rounding here.
	turn := math.Atan2(float64(px*qy)-float64(py*qx), float64(px*qx)+float64(py*qy))
	if clockwise && turn >= 0 {
		turn -= 2 * math.Pi
	} else if !clockwise && turn <= 0 {
		turn += 2 * math.Pi
	}
	a.sweep = turn
	return a, true
}

// whole tells whether the arc is a full circle.
func (a arc) whole() bool { return a.from == a.to }

// reversed is the same arc run the other way.
func (a arc) reversed() arc {
	return arc{a.to, a.from, a.centre, a.r1, a.r0, a.a0 + a.sweep, -a.sweep}
}

// chords appends the arc's corners after its start up to and with its end.
func (a arc) chords(path []geom.Point, tol float64) []geom.Point {
	n, grown := bent(max(a.r0, a.r1), math.Abs(a.sweep), tol)
	between := n // corners on the arc
	if a.whole() {
		between, grown = quarter(a.r0, tol)
		n = 4 * between
	}
	for k := 1; k < n; k++ {
		t := float64(k) / float64(n)
		s, c := math.Sincos(a.a0 + a.sweep*t)
		r := a.r0 + (a.r1-a.r0)*t
		if k%between != 0 {
			r *= grown
		}
		path = append(path, geom.Vec{X: a.centre.X + r*c, Y: a.centre.Y + r*s}.Round())
	}
	return append(path, a.to)
}

// offset appends the corners of the arc moved outward by d, both ends with
// it; backward gives them from the end to the start.
func (a arc) offset(ring geom.Ring, d float64, backward bool) geom.Ring {
	n, grown := bent(max(a.r0, a.r1)+d, math.Abs(a.sweep), chord)
	for k := 0; k <= n; k++ {
		t := float64(k) / float64(n)
		if backward {
			t = 1 - t
		}
		s, c := math.Sincos(a.a0 + a.sweep*t)
		r := a.r0 + (a.r1-a.r0)*t + d
		if k > 0 && k < n {
			r *= grown
		}
		ring = appendPoint(ring, a.centre.X+r*c, a.centre.Y+r*s)
	}
	return ring
}

// endCap appends the inner corners of a half circle that starts in the direction
// of angle and turns counter-clockwise.
func endCap(ring geom.Ring, at geom.Point, radius, angle float64) geom.Ring {
	m, grown := quarter(radius, chord)
	for k := 1; k < 2*m; k++ {
		s, c := math.Sincos(angle + math.Pi*float64(k)/float64(2*m))
		r := radius
		if k != m {
			r *= grown
		}
		ring = appendPoint(ring, float64(at.X)+r*c, float64(at.Y)+r*s)
	}
	return ring
}

// stroke gives what a disc sweeps along the arc, for non-zero filling.
func (a arc) stroke(radius float64) []geom.Ring {
	if a.sweep < 0 {
		a = a.reversed()
	}
	small := min(a.r0, a.r1)
	if a.whole() {
		outer := circle(a.centre.X, a.centre.Y, small+radius)
		if small <= radius {
			return rings(outer)
		}
		return rings(outer, cw(circle(a.centre.X, a.centre.Y, small-radius)))
	}
	if small <= radius {
		return a.beads(radius)
	}
	ring := a.offset(nil, radius, false)
	ring = endCap(ring, a.to, radius, a.a0+a.sweep)
	ring = a.offset(ring, -radius, true)
	ring = endCap(ring, a.from, radius, a.a0+math.Pi)
	return rings(closeRing(ring))
}

// beads strokes an arc tighter than the disc as a chain of capsules; each
// gets half the tolerance, since the centre line takes the other half.
func (a arc) beads(radius float64) []geom.Ring {
	var out []geom.Ring
	last := a.from
	for _, p := range a.chords(nil, chord/2) {
		if p != last {
			out = append(out, capsule(last.Vec(), p.Vec(), radius, chord/2))
		}
		last = p
	}
	return out
}

// rings collects the rings that enclose anything.
func rings(in ...geom.Ring) []geom.Ring {
	out := in[:0]
	for _, ring := range in {
		if len(ring) >= 3 {
			out = append(out, ring)
		}
	}
	return out
}

// singleQuadrant finds the centre of a G74 arc, whose offsets carry no sign:
// of the four candidates the one that gives a turn of at most a right angle in
// the right direction with the best matching radii.
func singleQuadrant(from, to geom.Point, i, j int64, clockwise bool) (arc, bool) {
	best, found, worst := arc{}, false, math.Inf(1)
	for _, sx := range []int64{1, -1} {
		for _, sy := range []int64{1, -1} {
			c := geom.Vec{X: float64(from.X + sx*i), Y: float64(from.Y + sy*j)}
			a, ok := newArc(from, to, c, clockwise, false)
			// A little over a right angle is forgiven: ends are rounded.
			if !ok || math.Abs(a.sweep) > math.Pi/2+0.02 {
				continue
			}
			if miss := math.Abs(a.r0 - a.r1); miss < worst {
				best, found, worst = a, true, miss
			}
		}
	}
	return best, found
}
