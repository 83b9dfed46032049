package ipc2581

import (
	"math"

	"ohmward/geom"
)

// drilled is a hole with its span by layer names, or the drill layer it is on.
type drilled struct {
	Hole
	layer, from, to string
}

func (r *reader) keep(d drilled) {
	r.step.holes = append(r.step.holes, d)
	r.full(len(r.step.holes), "holes")
}

// span reads the layers between which a hole or a layer's holes go.
func (r *reader) span() (from, to string) {
	r.named("Span", func(e *element) { from, to = e.attr("fromLayer"), e.attr("toLayer") })
	return from, to
}

func (r *reader) hole(e *element, s *set) {
	diameter, at := r.size(e, "diameter"), r.point(e, "x", "y")
	if diameter == 0 {
		r.LoseOnce("a hole without diameter is ignored")
		return
	}
	h := drilled{layer: s.ref, Hole: Hole{At: at, To: at, Diameter: half(2 * diameter),
		Status: e.attr("platingStatus"), Net: s.net, Line: e.line}}
	h.Plated = r.plated(h.Status)
	h.from, h.to = r.span()
	r.keep(h)
}

// padHoles notes the holes of a pad's stack, to be used or compared with the
// drill layers when all is read.
func (r *reader) padHoles(def *padstack, place placing, o Object) {
	for _, h := range def.holes {
		at, ok := place.point(h.At)
		if !ok || h.Diameter <= 0 {
			continue
		}
		h.At, h.To, h.Plated, h.Net, h.Line = at, at, r.plated(h.Status), o.Net, o.Line
		r.step.padHoles = append(r.step.padHoles, drilled{Hole: h})
		r.full(len(r.step.padHoles), "pad holes")
	}
}

// slot reads a milled slot or cavity: an outline, or primitives.
func (r *reader) slot(e *element, s *set) {
	hole := Hole{Status: e.attr("platingStatus"), Net: s.net, Line: e.line}
	in := r.placed(func(e *element) {
		if e.name == "MaterialLeft" || e.name == "MaterialCut" {
			r.WarnOnce("a cavity that leaves material is taken as milled through")
		}
	})
	for _, one := range in.shapes {
		if one.kind == "Outline" {
			one.line = false // the outline of a slot is its border
			one.style = style{}
			one.named = true
		}
	}
	rings := r.together(in.shapes, in.place())
	if len(rings) == 0 {
		r.Lose("a slot or cavity has no outline that is understood; ignored")
		return
	}
	hole.Plated = r.plated(hole.Status)
	for _, ring := range rings {
		if ring.Area() <= 0 {
			continue // an island inside a routed loop
		}
		h := drilled{layer: s.ref, Hole: hole}
		if !h.fit(ring) {
			r.Warn("the outline of a slot is no stadium; its longest axis is taken")
		}
		r.keep(h)
	}
}

// fit finds the stadium that a ring is, along the axis about which its area
// has the least moment. It tells whether the ring is one, within 2 % of its
// area.
func (h *Hole) fit(ring geom.Ring) bool {
	centre, angle := axis(ring)
	s, c := math.Sincos(angle)
	low, high := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	for _, p := range ring {
		x, y := float64(p.X)-centre.X, float64(p.Y)-centre.Y
		for i, v := range [2]float64{float64(x*c) + float64(y*s), float64(y*c) - float64(x*s)} {
			low[i], high[i] = math.Min(low[i], v), math.Max(high[i], v)
		}
	}
	l, w := high[0]-low[0], high[1]-low[1]
	if w > l {
		l, w, s, c = w, l, c, -s
	}
	h.Outline = ring
	h.Diameter = int64(math.Round(w))
	d := (l - w) / 2
	if d < w/1000 {
		d = 0
	}
	h.At = geom.Vec{X: centre.X - c*d, Y: centre.Y - s*d}.Round()
	h.To = geom.Vec{X: centre.X + c*d, Y: centre.Y + s*d}.Round()
	area := math.Pi/4*w*w + w*(l-w)
	return math.Abs(ring.Area()-area) <= 0.02*area
}

// axis gives a ring's centroid and the direction of its longer principal axis,
// from the integrals of x, y, x², y² and xy over its triangles about a corner.
func axis(ring geom.Ring) (centre geom.Vec, angle float64) {
	o := ring[0].Vec()
	var a, mx, my, xx, yy, xy float64
	for i := 1; i+1 < len(ring); i++ {
		px, py := float64(ring[i].X)-o.X, float64(ring[i].Y)-o.Y
		qx, qy := float64(ring[i+1].X)-o.X, float64(ring[i+1].Y)-o.Y
		t := (float64(px*qy) - float64(qx*py)) / 2
		a += t
		mx += t * (px + qx) / 3
		my += t * (py + qy) / 3
		xx += t * (px*px + px*qx + qx*qx) / 6
		yy += t * (py*py + py*qy + qy*qy) / 6
		xy += t * (2*px*py + px*qy + qx*py + 2*qx*qy) / 12
	}
	if a == 0 {
		return o, 0
	}
	mx, my = mx/a, my/a
	xx, yy, xy = xx-a*mx*mx, yy-a*my*my, xy-a*mx*my
	return geom.Vec{X: o.X + mx, Y: o.Y + my}, math.Atan2(2*xy, xx-yy) / 2
}
