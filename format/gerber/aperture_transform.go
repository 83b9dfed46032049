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

// object gives a turned copy of an object of a block.
func (t turning) object(o Object) Object { return mapped(o, t.point, t.flips()) }

// mapped gives a copy of an object under a map of the plane. The rings keep
// their direction where the map flips, if that is said.
func mapped(o Object, to func(geom.Point) geom.Point, flips bool) Object {
	o.At, o.To = to(o.At), to(o.To)
	shape := o.Rings // blocks may share it between copies
	o.Via, o.Rings = slices.Clone(o.Via), make([]geom.Ring, len(shape))
	for i, p := range o.Via {
		o.Via[i] = to(p)
	}
	for i, ring := range shape {
		ring = slices.Clone(ring)
		for k, p := range ring {
			ring[k] = to(p)
		}
		if flips {
			slices.Reverse(ring)
		}
		o.Rings[i] = ring
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
		b.rings = rings(t.object(Object{Rings: a.rings}).Rings...)
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
