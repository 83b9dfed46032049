package gerber

import (
	"math"
	"slices"

	"ohmward/geom"
)

// turning is the state of LM, LR and LS: an aperture is mirrored, then
// rotated, then scaled.
type turning struct {
	mirrorX, mirrorY bool    // the signs of x, of y are changed
	degrees          float64 // counter-clockwise
	scale            float64
}

var unturned = turning{scale: 1}

func (t turning) flips() bool { return t.mirrorX != t.mirrorY }

func (t turning) point(p geom.Point) geom.Point {
	x, y := float64(p.X), float64(p.Y)
	if t.mirrorX {
		x = -x
	}
	if t.mirrorY {
		y = -y
	}
	s, c := geom.SinCos(t.degrees)
	return geom.Point{
		X: int64(math.Round(t.scale * (x*c - y*s))),
		Y: int64(math.Round(t.scale * (x*s + y*c))),
	}
}

// ring gives the turned ring, its direction kept.
func (t turning) ring(ring geom.Ring) geom.Ring {
	out := make(geom.Ring, len(ring))
	for i, p := range ring {
		out[i] = t.point(p)
	}
	if t.flips() {
		slices.Reverse(out)
	}
	return out
}

func (t turning) rings(in []geom.Ring) []geom.Ring {
	out := make([]geom.Ring, len(in))
	for i, ring := range in {
		out[i] = t.ring(ring)
	}
	return out
}

// object gives a turned copy of an object of a block.
func (t turning) object(o Object) Object {
	o.Rings = t.rings(o.Rings)
	o.At, o.To = t.point(o.At), t.point(o.To)
	o.Via = slices.Clone(o.Via)
	for i, p := range o.Via {
		o.Via[i] = t.point(p)
	}
	return o
}

// turn gives a simple aperture as LM, LR and LS show it, made once for each
// state unless it is huge.
func (a *aperture) turn(t turning) *aperture {
	if t == unturned {
		return a
	}
	if b := a.turned[t]; b != nil {
		return b
	}
	b := *a
	b.turned = nil
	if a.round {
		b.radius *= t.scale
		b.rings = nil
		if b.radius > 0 {
			b.rings = rings(circle(0, 0, b.radius))
		}
	} else {
		b.rings = rings(t.rings(a.rings)...)
	}
	if a.turned == nil {
		a.turned = map[turning]*aperture{}
	}
	if len(a.turned)*max(64, corners(a.rings)) < 1<<18 {
		a.turned[t] = &b
	}
	return &b
}

func corners(in []geom.Ring) int {
	n := 0
	for _, ring := range in {
		n += len(ring)
	}
	return n
}
