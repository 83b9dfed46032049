package ipc2581

import (
	"math"
	"slices"

	"ohmward/geom"
)

// placing is a plane map p -> L p + move: first the offset, then the turn
// (counter-clockwise), then the mirror (x negated), then the scale, and last
// the shift to the location. The order turn before mirror is what exporters
// write: a part on the bottom has the negated angle of the turned and mirrored
// image.
type placing struct {
	a, b, c, d float64 // x' = a x + b y, y' = c x + d y
	move       geom.Vec
	angle      float64 // as the file has it
	mirror     bool
}

var unmoved = placing{a: 1, d: 1}

// xform reads an Xform element.
func (r *reader) xform(e *element) placing {
	p := unmoved
	angle, scale := r.real(e, "rotation", 0), r.real(e, "scale", 1)
	if scale <= 0 || scale > 1e6 || math.Abs(angle) > 1e6 {
		panic(r.Malformed("Xform has a scale or rotation out of bounds"))
	}
	offset := geom.Vec{X: r.length(e, "xOffset"), Y: r.length(e, "yOffset")}
	if yes(e.attr("faceUp"), false) {
		r.WarnOnce("Xform faceUp is ignored")
	}
	s, c := geom.SinCos(math.Mod(angle, 360))
	p.angle, p.mirror = angle, yes(e.attr("mirror"), false)
	p.a, p.b, p.c, p.d = c*scale, -s*scale, s*scale, c*scale
	if p.mirror {
		p.a, p.b = -p.a, -p.b
	}
	p.move = p.linear(offset)
	return p
}

func (p placing) linear(v geom.Vec) geom.Vec {
	return geom.Vec{
		X: float64(p.a*v.X) + float64(p.b*v.Y),
		Y: float64(p.c*v.X) + float64(p.d*v.Y),
	}
}

// at gives the placing shifted to a location.
func (p placing) at(q geom.Point) placing {
	p.move.X += float64(q.X)
	p.move.Y += float64(q.Y)
	return p
}

// inside gives the map that applies q first and p after it.
func (p placing) inside(q placing) placing {
	out := p
	out.a, out.b = float64(p.a*q.a)+float64(p.b*q.c), float64(p.a*q.b)+float64(p.b*q.d)
	out.c, out.d = float64(p.c*q.a)+float64(p.d*q.c), float64(p.c*q.b)+float64(p.d*q.d)
	m := p.linear(q.move)
	out.move = geom.Vec{X: p.move.X + m.X, Y: p.move.Y + m.Y}
	return out
}

// flips tells whether the map turns left into right.
func (p placing) flips() bool { return float64(p.a*p.d)-float64(p.b*p.c) < 0 }

// identity tells whether the map leaves everything in place.
func (p placing) identity() bool {
	return p.a == 1 && p.b == 0 && p.c == 0 && p.d == 1 && p.move == geom.Vec{}
}

// point gives the place of a point; ok is false beyond the frame.
func (p placing) point(q geom.Point) (out geom.Point, ok bool) {
	v := p.linear(q.Vec())
	v.X += p.move.X
	v.Y += p.move.Y
	if !(math.Abs(v.X) <= geom.MaxCoord && math.Abs(v.Y) <= geom.MaxCoord) {
		return out, false
	}
	return v.Round(), true
}

// ring gives a ring in place, its direction of turn kept.
func (p placing) ring(in geom.Ring) (geom.Ring, bool) {
	if p.identity() { // a copy still: primitives of a dictionary are used again
		return slices.Clone(in), true
	}
	out := make(geom.Ring, len(in))
	for i, q := range in {
		k := i
		if p.flips() {
			k = len(in) - 1 - i
		}
		var ok bool
		if out[k], ok = p.point(q); !ok {
			return nil, false
		}
	}
	return out, true
}
