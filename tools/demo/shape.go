package main

import "math"

// point is a place in the board's frame, in micrometres, y up.
type point struct{ x, y int }

// shape is a piece of copper or a hole: a capsule (all points within r of
// the spine a–b) or, where hx > 0, the rectangle of half-size hx × hy about
// a. Lengths are micrometres.
type shape struct {
	a, b   point
	r      int
	hx, hy int
}

// disc is the round shape of the given diameter.
func disc(at point, diameter int) shape { return shape{a: at, b: at, r: diameter / 2} }

// capsule is a stroke of the given width with round ends.
func capsule(a, b point, width int) shape { return shape{a: a, b: b, r: width / 2} }

// rect is the rectangle w × h about its centre.
func rect(at point, w, h int) shape { return shape{a: at, b: at, hx: w / 2, hy: h / 2} }

// oval is the stadium that fills w × h.
func oval(at point, w, h int) shape {
	if w >= h {
		d := (w - h) / 2
		return shape{a: point{at.x - d, at.y}, b: point{at.x + d, at.y}, r: h / 2}
	}
	d := (h - w) / 2
	return shape{a: point{at.x, at.y - d}, b: point{at.x, at.y + d}, r: w / 2}
}

// bounds gives the corners of the box around the shape.
func (s shape) bounds() (lo, hi point) {
	dx, dy := s.r+s.hx, s.r+s.hy
	lo = point{min(s.a.x, s.b.x) - dx, min(s.a.y, s.b.y) - dy}
	hi = point{max(s.a.x, s.b.x) + dx, max(s.a.y, s.b.y) + dy}
	return lo, hi
}

// dist is the signed distance from (x, y) to the shape, negative inside a
// capsule and at most zero inside a rectangle. The conversions keep the
// compiler from fusing products and sums, so that every machine makes the
// same files.
func (s shape) dist(x, y float64) float64 {
	if s.hx > 0 {
		dx := math.Abs(x-float64(s.a.x)) - float64(s.hx)
		dy := math.Abs(y-float64(s.a.y)) - float64(s.hy)
		if dx <= 0 && dy <= 0 {
			return max(dx, dy)
		}
		return hypot(max(dx, 0), max(dy, 0))
	}
	return segDist(x, y, s.a, s.b) - float64(s.r)
}

func hypot(x, y float64) float64 { return math.Sqrt(float64(x*x) + float64(y*y)) }

// segDist is the distance from (x, y) to the segment a–b.
func segDist(x, y float64, a, b point) float64 {
	px, py := x-float64(a.x), y-float64(a.y)
	if a == b {
		return hypot(px, py)
	}
	dx, dy := float64(b.x-a.x), float64(b.y-a.y)
	t := (float64(px*dx) + float64(py*dy)) / (float64(dx*dx) + float64(dy*dy))
	t = min(max(t, 0), 1)
	return hypot(px-float64(t*dx), py-float64(t*dy))
}

// segGap is the distance between two segments, zero where they cross.
func segGap(a, b, c, d point) float64 {
	if crosses(a, b, c, d) {
		return 0
	}
	return min(
		segDist(float64(a.x), float64(a.y), c, d), segDist(float64(b.x), float64(b.y), c, d),
		segDist(float64(c.x), float64(c.y), a, b), segDist(float64(d.x), float64(d.y), a, b))
}

// turn is twice the signed area of the triangle a, b, c.
func turn(a, b, c point) int { return (b.x-a.x)*(c.y-a.y) - (b.y-a.y)*(c.x-a.x) }

// crosses tells whether two segments cross in their interiors; touching ends
// are left to the distances.
func crosses(a, b, c, d point) bool {
	p, q := turn(a, b, c), turn(a, b, d)
	r, s := turn(c, d, a), turn(c, d, b)
	return (p < 0) != (q < 0) && (r < 0) != (s < 0) && p != 0 && q != 0 && r != 0 && s != 0
}

// edges are the segments that bound a rectangle, or the spine of a capsule.
func (s shape) edges() [][2]point {
	if s.hx == 0 {
		return [][2]point{{s.a, s.b}}
	}
	c := [4]point{
		{s.a.x - s.hx, s.a.y - s.hy}, {s.a.x + s.hx, s.a.y - s.hy},
		{s.a.x + s.hx, s.a.y + s.hy}, {s.a.x - s.hx, s.a.y + s.hy},
	}
	return [][2]point{{c[0], c[1]}, {c[1], c[2]}, {c[2], c[3]}, {c[3], c[0]}}
}

// gap is the distance between two shapes, at most zero where they overlap.
func gap(s, t shape) float64 {
	d := math.Inf(1)
	for _, e := range s.edges() {
		for _, f := range t.edges() {
			d = min(d, segGap(e[0], e[1], f[0], f[1]))
		}
	}
	d -= float64(s.r + t.r)
	if s.dist(float64(t.a.x), float64(t.a.y)) <= 0 || t.dist(float64(s.a.x), float64(s.a.y)) <= 0 {
		return min(d, 0)
	}
	return d
}

// near tells whether the boxes of two shapes come within d of each other.
func near(s, t shape, d int) bool {
	sl, sh := s.bounds()
	tl, th := t.bounds()
	return sl.x <= th.x+d && tl.x <= sh.x+d && sl.y <= th.y+d && tl.y <= sh.y+d
}
