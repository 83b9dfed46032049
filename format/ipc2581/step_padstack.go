package ipc2581

import (
	"strings"

	"ohmward/geom"
)

// padstack is a PadStackDef: a hole and the pads about it.
type padstack struct {
	holes []Hole              // their places within the stack
	pads  map[string][]padDef // by layer
}

type padDef struct {
	use string
	placedShapes
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

func (r *reader) padStackDef(e *element) {
	d := &padstack{pads: map[string][]padDef{}}
	name := e.attr("name")
	r.full(len(r.step.padstacks), "pad stacks")
	r.step.padstacks[name] = d
	r.each(func(e *element) {
		switch e.name {
		case "PadstackHoleDef":
			d.holes = append(d.holes, r.holeDef(e))
		case "PadstackPadDef":
			layer := e.attr("layerRef")
			d.pads[layer] = append(d.pads[layer], padDef{e.attr("padUse"), r.placed(nil)})
		}
	})
}

// holeDef reads a hole whose place may be left out.
func (r *reader) holeDef(e *element) Hole {
	h := Hole{Status: e.attr("platingStatus"), Diameter: half(2 * r.size(e, "diameter")), Line: e.line}
	h.At = geom.Point{X: r.whole(e, "x"), Y: r.whole(e, "y")}
	h.To = h.At
	return h
}

// placedShapes are primitives with their placing: a turn, and the locations.
type placedShapes struct {
	turn   placing
	at     []geom.Point
	shapes []*shape
}

// place is the placing at the last of the locations.
func (p placedShapes) place() placing {
	if n := len(p.at); n > 0 {
		return p.turn.at(p.at[n-1])
	}
	return p.turn
}

// placed reads an Xform, a Location and primitives; the rest goes to the
// visitor, which may be nil.
func (r *reader) placed(other func(e *element)) placedShapes {
	p := placedShapes{turn: unmoved}
	r.each(func(e *element) {
		switch e.name {
		case "Xform":
			p.turn = r.xform(e)
			return
		case "Location":
			p.at = append(p.at, r.point(e, "x", "y"))
			r.full(len(p.at), "locations")
			return
		}
		if s := r.readShape(e); s != nil {
			p.shapes = append(p.shapes, s)
		} else if other != nil {
			other(e)
		}
	})
	return p
}

// oldPad is a pad of the older PadStack element, which places a whole stack.
type oldPad struct {
	layer string
	pad   Object
}

func (r *reader) oldPadStack(e *element) {
	net := netName(e.attr("net"))
	r.each(func(e *element) {
		switch e.name {
		case "LayerHole":
			d := drilled{Hole: r.holeDef(e)}
			d.Plated, d.Net = r.plated(d.Status), net
			d.from, d.to = r.span()
			r.step.oldHoles = append(r.step.oldHoles, d)
			r.full(len(r.step.oldHoles), "holes")
		case "LayerPad":
			r.oldLayerPad(e, net)
		}
	})
}

func (r *reader) oldLayerPad(e *element, net string) {
	layer := e.attr("layerRef")
	o := Object{Dark: true, Net: net, IsPad: true, Line: e.line}
	in := r.placed(func(e *element) {
		if e.name == "PinRef" && o.Pin == "" {
			o.Ref, o.Pin = pinName(e, "")
		}
	})
	if o.Rings = r.together(in.shapes, in.place()); len(o.Rings) == 0 {
		return
	}
	o.At, _ = in.place().point(geom.Point{})
	r.step.oldPads = append(r.step.oldPads, oldPad{layer, o})
	r.full(len(r.step.oldPads), "pads")
}
