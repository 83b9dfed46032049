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

func (r *reader) keep(d drilled) error {
	r.step.holes = append(r.step.holes, d)
	return r.full(len(r.step.holes), "holes")
}

func (r *reader) hole(e *element, s *set) error {
	d, err := r.sizes(e, "diameter")
	if err != nil {
		return err
	}
	at, err := r.point(e, "x", "y")
	if err != nil {
		return err
	}
	if d[0] == 0 {
		r.WarnOnce("a hole without diameter is ignored")
		return nil
	}
	h := drilled{layer: s.ref, Hole: Hole{At: at, To: at, Diameter: half(2 * d[0]),
		Status: e.attr("platingStatus"), Net: s.net, Line: e.line}}
	h.Plated = r.plated(h.Status)
	err = r.each(func(e *element) error {
		if e.name == "Span" {
			h.from, h.to = e.attr("fromLayer"), e.attr("toLayer")
		}
		return nil
	})
	if err != nil {
		return err
	}
	return r.keep(h)
}

// padHoles notes the holes of a pad's stack, to be used or compared with the
// drill layers when all is read.
func (r *reader) padHoles(def *padstack, place placing, o Object) error {
	for _, h := range def.holes {
		at, ok := place.point(h.at)
		if !ok || h.diameter <= 0 {
			continue
		}
		r.step.padHoles = append(r.step.padHoles, drilled{Hole: Hole{At: at, To: at, Diameter: h.diameter,
			Status: h.status, Plated: r.plated(h.status), Net: o.Net, Line: o.Line}})
		if err := r.full(len(r.step.padHoles), "pad holes"); err != nil {
			return err
		}
	}
	return nil
}

// slot reads a milled slot or cavity: an outline, or primitives.
func (r *reader) slot(e *element, s *set) error {
	status := e.attr("platingStatus")
	line := e.line
	place, shapes, err := r.placed(func(e *element) error {
		if e.name == "MaterialLeft" || e.name == "MaterialCut" {
			r.WarnOnce("a cavity that leaves material is taken as milled through")
		}
		return nil
	})
	if err != nil {
		return err
	}
	for _, one := range shapes {
		if one.kind == "Outline" {
			one.line = false // the outline of a slot is its border
			one.style = style{}
			one.named = true
		}
	}
	rings, err := r.together(shapes, place)
	if err != nil {
		return err
	}
	if len(rings) == 0 {
		r.Warn("a slot or cavity has no outline that is understood; ignored")
		return nil
	}
	plated := r.plated(status)
	for _, ring := range rings {
		if ring.Area() <= 0 {
			continue // an island inside a routed loop
		}
		h := drilled{layer: s.ref, Hole: Hole{Status: status, Plated: plated, Net: s.net, Line: line}}
		if !h.fit(ring) {
			r.Warn("the outline of a slot is no stadium; its longest axis is taken")
		}
		if err := r.keep(h); err != nil {
			return err
		}
	}
	return nil
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
