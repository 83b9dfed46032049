package picture

import (
	"image/color"
	"math"
)

// pt is a point of the picture in pixels, y down.
type pt struct{ x, y float64 }

// path is a closed ring of the picture. Rings of one fill must wind alike
// where they overlap, and holes the other way.
type path []pt

// rect is a rectangle of the picture.
type rect struct{ x, y, w, h float64 }

func (r rect) inside(o rect) bool {
	return r.x >= o.x && r.y >= o.y && r.x+r.w <= o.x+o.w && r.y+r.h <= o.y+o.h
}

// squareAt is the square whose sides are half from a point.
func squareAt(at pt, half float64) rect { return rect{at.x - half, at.y - half, 2 * half, 2 * half} }

// overlap is the area two rectangles share.
func (r rect) overlap(o rect) float64 {
	w := min(r.x+r.w, o.x+o.w) - max(r.x, o.x)
	h := min(r.y+r.h, o.y+o.h) - max(r.y, o.y)
	return max(0, w) * max(0, h)
}

// canvas takes the drawing, in painting order. Colours are straight (not
// premultiplied). What lies outside the clip is not drawn.
type canvas interface {
	clip(r rect)
	fill(paths []path, c color.NRGBA)
	disc(at pt, radius float64, c color.NRGBA)
	ring(at pt, radius, width float64, c color.NRGBA)
	line(pts []pt, closed bool, width float64, c color.NRGBA)
	text(at pt, anchor anchor, size float64, bold bool, s string, c color.NRGBA)
}

// anchor says which point of a text stands at its place; the height is the
// base line's.
type anchor uint8

const (
	left anchor = iota
	middle
	right
)

// circle is a closed ring about at; the other way round when back is set.
func circle(at pt, radius float64, back bool) path {
	n := max(12, min(180, int(2*math.Pi*radius/1.5)))
	p := make(path, n)
	for i := range p {
		a := 2 * math.Pi * float64(i) / float64(n)
		if back {
			a = -a
		}
		p[i] = pt{at.x + radius*math.Cos(a), at.y + radius*math.Sin(a)}
	}
	return p
}

// stroked turns a line into rings to fill: a bar for each piece and a disc
// at each joint, all winding alike.
func stroked(pts []pt, closed bool, width float64) []path {
	var out []path
	half := width / 2
	n := len(pts)
	for i := range pts {
		out = append(out, circle(pts[i], half, false))
		if i+1 == n && !closed {
			break
		}
		a, b := pts[i], pts[(i+1)%n]
		l := math.Hypot(b.x-a.x, b.y-a.y)
		if l == 0 {
			continue
		}
		nx, ny := -(b.y-a.y)/l*half, (b.x-a.x)/l*half
		out = append(out, path{{a.x - nx, a.y - ny}, {b.x - nx, b.y - ny}, {b.x + nx, b.y + ny}, {a.x + nx,
			a.y + ny}})
	}
	return out
}
