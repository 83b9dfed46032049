package ipc2581

import (
	"strings"

	"ohmward/geom"
)

// padstack is a PadStackDef: a hole and the pads about it.
type padstack struct {
	holes []holeDef
	pads  map[string][]padDef // by layer
}

type holeDef struct {
	at       geom.Point
	diameter int64
	status   string
}

type padDef struct {
	use    string
	place  placing
	shapes []*shape
}

// plated tells what a plating status means. One that is missing or unknown is
// taken as plated, as the convention for holes that do not say is.
func (r *reader) plated(status string) bool {
	switch strings.ToUpper(status) {
	case "PLATED", "VIA", "VIA_CAPPED":
		return true
	case "NONPLATED":
		return false
	}
	r.WarnOnce("a hole has plating status %q: taken as plated", shorten(status))
	return true
}

func (r *reader) padStackDef(e *element) error {
	d := &padstack{pads: map[string][]padDef{}}
	name := e.attr("name")
	if err := r.full(len(r.step.padstacks), "pad stacks"); err != nil {
		return err
	}
	r.step.padstacks[name] = d
	return r.each(func(e *element) error {
		switch e.name {
		case "PadstackHoleDef":
			h, err := r.holeDef(e)
			d.holes = append(d.holes, h)
			return err
		case "PadstackPadDef":
			p := padDef{use: e.attr("padUse")}
			layer := e.attr("layerRef")
			var err error
			p.place, p.shapes, err = r.placed(nil)
			d.pads[layer] = append(d.pads[layer], p)
			return err
		}
		return nil
	})
}

func (r *reader) holeDef(e *element) (h holeDef, err error) {
	h.status = e.attr("platingStatus")
	d, err := r.sizes(e, "diameter")
	if err != nil {
		return h, err
	}
	h.diameter = half(2 * d[0])
	if h.at.X, err = r.whole(e, "x"); err != nil {
		return h, err
	}
	h.at.Y, err = r.whole(e, "y")
	return h, err
}

// placed reads an Xform, a Location and primitives; the rest goes to the
// visitor, which may be nil.
func (r *reader) placed(other func(e *element) error) (placing, []*shape, error) {
	turn, at := unmoved, geom.Point{}
	var shapes []*shape
	err := r.each(func(e *element) error {
		var err error
		switch e.name {
		case "Xform":
			turn, err = r.xform(e)
			return err
		case "Location":
			at, err = r.point(e, "x", "y")
			return err
		}
		s, err := r.readShape(e)
		if s != nil {
			shapes = append(shapes, s)
			return err
		}
		if err == nil && other != nil {
			return other(e)
		}
		return err
	})
	return turn.at(at), shapes, err
}

// oldPad is a pad of the older PadStack element, which places a whole stack.
type oldPad struct {
	layer string
	pad   Object
}

func (r *reader) oldPadStack(e *element) error {
	net := netName(e.attr("net"))
	return r.each(func(e *element) error {
		switch e.name {
		case "LayerHole":
			h, err := r.holeDef(e)
			if err != nil {
				return err
			}
			d := drilled{Hole: Hole{At: h.at, To: h.at, Diameter: h.diameter, Status: h.status,
				Plated: r.plated(h.status), Net: net, Line: e.line}}
			err = r.each(func(e *element) error {
				if e.name == "Span" {
					d.from, d.to = e.attr("fromLayer"), e.attr("toLayer")
				}
				return nil
			})
			r.step.oldHoles = append(r.step.oldHoles, d)
			if err == nil {
				err = r.full(len(r.step.oldHoles), "holes")
			}
			return err
		case "LayerPad":
			return r.oldLayerPad(e, net)
		}
		return nil
	})
}

func (r *reader) oldLayerPad(e *element, net string) error {
	layer := e.attr("layerRef")
	o := Object{Dark: true, Net: net, IsPad: true, Line: e.line}
	place, shapes, err := r.placed(func(e *element) error {
		if e.name == "PinRef" && o.Pin == "" {
			o.Ref, o.Pin = pinName(e, "")
		}
		return nil
	})
	if err != nil {
		return err
	}
	if o.Rings, err = r.together(shapes, place); err != nil || len(o.Rings) == 0 {
		return err
	}
	o.At, _ = place.point(geom.Point{})
	r.step.oldPads = append(r.step.oldPads, oldPad{layer, o})
	return r.full(len(r.step.oldPads), "pads")
}
