package geom

import (
	"math"
	"slices"
)

// sides is the number of chords, a multiple of 4 and at least 12, that keeps
// the chord error of a full circle within tol (at least 1 nm).
func sides(radius float64, tol int64) int {
	t := math.Max(float64(tol), 1)
	radius = math.Min(radius, 4*MaxCoord)
	if radius <= t {
		return 12
	}
	n := int(math.Ceil(math.Pi / math.Acos(1-t/radius)))
	return max(12, (n+3)/4*4)
}

// Circle is a counter-clockwise polygon inscribed in the circle: vertices
// rounded from points on it, one exactly on each half axis, sides a multiple
// of 4 and at least 12, chord error at most tol (all in nanometres). It is
// symmetric about both axes. A radius of 0 or less gives nil.
func Circle(c Point, radius int64, tol int64) Ring {
	if radius <= 0 {
		return nil
	}
	n := sides(float64(radius), tol)
	out := make(Ring, 0, n)
	for i := range n {
		d := onCircle(float64(radius), i, n)
		out = append(out, Point{c.X + d.X, c.Y + d.Y})
	}
	return out.Tidy()
}

// onCircle is the i-th of n vertices (n a multiple of 4), made from the first
// eighth so that the polygon is symmetric.
func onCircle(radius float64, i, n int) Point {
	q, k := i/(n/4), i%(n/4)
	sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(n))
	if 2*k > n/4 {
		cos, sin = math.Sincos(2 * math.Pi * float64(n/4-k) / float64(n))
	}
	x, y := int64(math.Round(radius*cos)), int64(math.Round(radius*sin))
	switch q {
	case 0:
		return Point{x, y}
	case 1:
		return Point{-y, x}
	case 2:
		return Point{-x, -y}
	}
	return Point{y, -x}
}

// ArcPoints gives the points of an arc from start to end about centre,
// counter-clockwise or clockwise, both ends exact, chord error at most tol
// nanometres. Equal ends mean a full circle. Where the two radii differ (by
// rounding in a file) the radius changes evenly along the arc.
func ArcPoints(start, end, centre Point, ccw bool, tol int64) []Point {
	sx, sy := float64(start.X-centre.X), float64(start.Y-centre.Y)
	ex, ey := float64(end.X-centre.X), float64(end.Y-centre.Y)
	r0, r1 := math.Hypot(sx, sy), math.Hypot(ex, ey)
	from := math.Atan2(sy, sx)
	sweep := math.Atan2(float64(sx*ey)-float64(sy*ex), float64(sx*ex)+float64(sy*ey))
	switch {
	case start == end:
		sweep = 2 * math.Pi
	case sweep < 0:
		sweep += 2 * math.Pi
	}
	if !ccw && start != end {
		sweep = 2*math.Pi - sweep
	}
	n := max(1, int(math.Ceil(sweep*float64(sides(math.Max(r0, r1), tol))/(2*math.Pi)-1e-9)))
	if !ccw {
		sweep = -sweep
	}
	out := make([]Point, 0, n+1)
	out = append(out, start)
	for i := 1; i < n; i++ {
		f := float64(i) / float64(n)
		sin, cos := math.Sincos(from + f*sweep)
		r := r0 + f*(r1-r0)
		out = append(out, Point{centre.X + int64(math.Round(r*cos)), centre.Y + int64(math.Round(r*sin))})
	}
	if out = slices.Compact(out); out[len(out)-1] == end && len(out) > 1 {
		return out
	}
	return append(out, end)
}

// Stroke is the counter-clockwise outline of a line from a to b drawn with a
// round pen: vertices exactly half a width across at both ends, half circles
// with chord error at most tol beyond them (nanometres). Equal ends give the
// circle. A width of 0 or less gives nil.
func Stroke(a, b Point, width, tol int64) Ring {
	if width <= 0 {
		return nil
	}
	if a == b {
		return Circle(a, width/2, tol)
	}
	r := float64(width) / 2
	dx, dy := float64(b.X-a.X), float64(b.Y-a.Y)
	l := math.Hypot(dx, dy)
	ux, uy := dx/l, dy/l
	half := sides(r, tol) / 2
	out := make(Ring, 0, 2*half+2)
	for end, c := range [2]Point{b, a} {
		for i := range half + 1 {
			// From the right-hand side across the tip to the left-hand side.
			s, t := math.Sincos(math.Pi * float64(i) / float64(half))
			if i == half {
				s, t = 0, -1
			}
			if 2*i == half {
				s, t = 1, 0
			}
			x, y := r*(float64(uy*t)+float64(ux*s)), r*(float64(uy*s)-float64(ux*t))
			if end == 1 {
				x, y = -x, -y
			}
			out = append(out, Point{c.X + int64(math.Round(x)), c.Y + int64(math.Round(y))})
		}
	}
	return out.Tidy()
}

// Rectangle is the counter-clockwise ring of a box.
func Rectangle(b Box) Ring {
	return Ring{b.Min, {b.Max.X, b.Min.Y}, b.Max, {b.Min.X, b.Max.Y}}
}
