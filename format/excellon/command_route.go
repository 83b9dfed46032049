package excellon

import (
	"math"

	"ohmward/geom"
)

// arcTolerance is the largest distance between a routed arc and the chord
// that stands for it, in nanometres.
const arcTolerance = 2000

// arc cuts G02 (clockwise) or G03 with a radius A or a centre I, J.
func (r *reader) arc(from, to geom.Point, m motion) {
	clockwise := r.plot == 2
	cx, cy, ok := r.centre(from, to, m, clockwise)
	if !ok {
		r.Warn("arc without a possible centre cut straight")
		r.hit(from, to, true)
		return
	}
	px, py := float64(from.X)-cx, float64(from.Y)-cy
	qx, qy := float64(to.X)-cx, float64(to.Y)-cy
	r0, r1 := math.Hypot(px, py), math.Hypot(qx, qy)
	start := math.Atan2(py, px)
	turn := math.Atan2(float64(px*qy)-float64(py*qx), float64(px*qx)+float64(py*qy))
	switch {
	case clockwise && (turn >= 0 || from == to):
		turn -= 2 * math.Pi
	case !clockwise && (turn <= 0 || from == to):
		turn += 2 * math.Pi
	}
	n := chords(max(r0, r1), math.Abs(turn))
	last := from
	for k := 1; k <= n; k++ {
		t := float64(k) / float64(n)
		s, c := math.Sincos(start + turn*t)
		radius := r0 + (r1-r0)*t
		next := to
		if k < n {
			next = geom.Point{X: int64(math.Round(cx + radius*c)), Y: int64(math.Round(cy + radius*s))}
		}
		r.hit(last, next, true)
		last = next
	}
}

func chords(radius, turn float64) int {
	each := math.Pi / 4
	if radius > arcTolerance {
		each = min(each, 2*math.Acos(1-(arcTolerance-1)/radius))
	}
	return max(1, int(math.Ceil(turn/each-1e-9)))
}

// offset is length for what may be missing.
func (r *reader) offset(s string) int64 {
	if s == "" {
		return 0
	}
	return r.length(s)
}

// centre finds an arc's centre in nanometres. With a radius the arc is the
// shorter of the two.
func (r *reader) centre(from, to geom.Point, m motion, clockwise bool) (x, y float64, ok bool) {
	if m.a == "" {
		i, j := r.offset(m.i), r.offset(m.j)
		x, y = float64(from.X+i), float64(from.Y+j)
		away := math.Hypot(float64(to.X)-x, float64(to.Y)-y)
		return x, y, (i != 0 || j != 0) && away > 1
	}
	radius := r.length(m.a)
	dx, dy := float64(to.X-from.X), float64(to.Y-from.Y)
	l := math.Hypot(dx, dy)
	if l == 0 || radius <= 0 {
		return 0, 0, false
	}
	half := l / 2
	if short := half - float64(radius); short > 10_000 {
		r.Warn("arc's radius is %.3f mm too small for its ends", short*1e-6)
	}
	h := math.Sqrt(max(0, float64(radius)*float64(radius)-half*half))
	if clockwise {
		h = -h
	}
	mx, my := (float64(from.X)+float64(to.X))/2, (float64(from.Y)+float64(to.Y))/2
	return mx - dy/l*h, my + dx/l*h, true
}
