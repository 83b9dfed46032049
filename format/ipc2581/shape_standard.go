package ipc2581

import (
	"math"

	"ohmward/geom"
)

// standard reads the primitives whose sizes have names. All are centred on
// the origin, but for RectCorner.
func (r *reader) standard(e *element, s *shape) *shape {
	var area []geom.Ring
	switch e.name {
	case "Circle":
		area = one(geom.Circle(geom.Point{}, half(r.size(e, "diameter")), chord))
	case "RectCenter", "RectRound", "RectCham", "Oval", "Ellipse", "Diamond":
		area = r.boxed(e, r.size(e, "width")/2, r.size(e, "height")/2)
	case "RectCorner":
		area = r.rectCorner(e)
	case "Triangle":
		b, h := r.size(e, "base")/2, r.size(e, "height")/2
		area = one(corners(-b, -h, b, -h, 0, h))
	case "Hexagon", "Octagon":
		area = one(regular(e.name, r.size(e, "length")/2))
	case "Donut":
		area = r.donut(e)
	case "Thermal":
		area = r.thermal(e)
	case "Moire":
		area = r.moire(e)
	case "Butterfly":
		area = r.butterfly(e)
	default:
		return nil
	}
	s.named, s.area = true, area
	for _, ring := range area {
		s.edges = append(s.edges, ringPath(ring))
	}
	r.dressed(s, nil)
	return s
}

// half is half a size in whole nanometres.
func half(v float64) int64 { return int64(math.Round(v / 2)) }

// one is a list of one ring, or none if it has no area.
func one(ring geom.Ring) []geom.Ring {
	if len(ring) < 3 || ring.Area() == 0 {
		return nil
	}
	return []geom.Ring{ring}
}

// corners makes a ring from coordinates in nanometres, without repeats.
func corners(xy ...float64) geom.Ring {
	var out geom.Ring
	for i := 0; i+1 < len(xy); i += 2 {
		out = append(out, geom.Vec{X: xy[i], Y: xy[i+1]}.Round())
	}
	return out.Tidy()
}

// boxed makes the shapes that fill a box of half sizes w and h.
func (r *reader) boxed(e *element, w, h float64) []geom.Ring {
	switch e.name {
	case "RectRound", "RectCham":
		c := r.size(e, map[string]string{"RectRound": "radius", "RectCham": "chamfer"}[e.name])
		return one(nipped(w, h, min(c, w, h), flags(e), e.name == "RectRound"))
	case "Oval":
		if w >= h {
			return one(geom.Stroke(corner(h-w, 0), corner(w-h, 0), int64(math.Round(2*h)), chord))
		}
		return one(geom.Stroke(corner(0, w-h), corner(0, h-w), int64(math.Round(2*w)), chord))
	case "Ellipse":
		return one(ellipse(w, h))
	case "Diamond":
		return one(corners(w, 0, 0, h, -w, 0, 0, -h))
	}
	return one(corners(-w, -h, w, -h, w, h, -w, h))
}

func corner(x, y float64) geom.Point { return geom.Vec{X: x, Y: y}.Round() }

// flags tells which corners are rounded or chamfered: lower left, lower
// right, upper right, upper left. Where a file names none, all are.
func flags(e *element) (on [4]bool) {
	any := false
	for i, name := range [4]string{"lowerLeft", "lowerRight", "upperRight", "upperLeft"} {
		text := e.attr(name)
		any = any || text != ""
		on[i] = yes(text, false)
	}
	if !any {
		on = [4]bool{true, true, true, true}
	}
	return on
}

// nipped is a rectangle of half sizes w and h with some corners rounded or
// chamfered by c.
func nipped(w, h, c float64, on [4]bool, round bool) geom.Ring {
	signs := [4][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}}
	var out geom.Ring
	for i, s := range signs {
		x, y := s[0]*w, s[1]*h
		if !on[i] || c <= 0 {
			out = append(out, corner(x, y))
			continue
		}
		// Going round, a corner is met along y at 0 and 2, along x at 1 and 3.
		a, b := corner(x, y-s[1]*c), corner(x-s[0]*c, y)
		if i%2 == 1 {
			a, b = b, a
		}
		out = append(out, a)
		if round {
			out = append(out, geom.ArcPoints(a, b, corner(x-s[0]*c, y-s[1]*c), true, chord)...)
		}
		out = append(out, b)
	}
	return out.Tidy()
}

// ellipse has half axes a and b. The chord error of equal steps of the
// parameter is at most that of the circle about it.
func ellipse(a, b float64) geom.Ring {
	n := 4 * int(math.Ceil(math.Pi/4/math.Sqrt(2*chord/math.Max(math.Max(a, b), 4*chord))))
	var xy []float64
	for k := range n {
		s, c := geom.SinCos(360 * float64(k) / float64(n))
		xy = append(xy, a*c, b*s)
	}
	return corners(xy...)
}

// regular is a regular polygon whose corners lie r from the centre: a hexagon
// with corners on the x axis, an octagon with sides across both axes.
func regular(kind string, r float64) geom.Ring {
	n, turn := 6, 0.0
	if kind == "Octagon" {
		n, turn = 8, 22.5
	}
	var xy []float64
	for k := range n {
		s, c := geom.SinCos(turn + 360*float64(k)/float64(n))
		xy = append(xy, r*c, r*s)
	}
	return corners(xy...)
}

func (r *reader) rectCorner(e *element) []geom.Ring {
	a := r.point(e, "lowerLeftX", "lowerLeftY")
	b := r.point(e, "upperRightX", "upperRightY")
	box := geom.EmptyBox().Extend(a).Extend(b)
	if box.Min.X == box.Max.X || box.Min.Y == box.Max.Y {
		return nil
	}
	return one(geom.Rectangle(box))
}
