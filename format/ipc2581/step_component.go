package ipc2581

import (
	"cmp"
	"strings"

	"ohmward/geom"
)

// pkg is a Package: a part's outline and pins about its own origin.
type pkg struct {
	body geom.Ring
	pins []Pin
}

// part is a Component as read.
type part struct {
	Component
	layer string
	place placing
}

func (r *reader) pack(e *element) {
	p := &pkg{}
	r.full(len(r.step.packages), "packages")
	r.step.packages[e.attr("name")] = p
	r.each(func(e *element) {
		switch e.name {
		case "Outline":
			s := &shape{place: unmoved}
			if r.outline(s); len(s.area) > 0 && p.body == nil {
				p.body, _ = s.place.ring(s.area[0])
			}
		case "Pin":
			number := cmp.Or(e.attr("number"), e.attr("name"))
			at, _ := r.placed(nil).place().point(geom.Point{})
			p.pins = append(p.pins, Pin{number, at})
			r.step.pins++
			r.full(r.step.pins, "pins")
		}
	})
}

func (r *reader) component(e *element) {
	r.full(len(r.step.parts), "components")
	p := &part{layer: e.attr("layerRef")}
	p.Component = Component{Ref: cmp.Or(e.attr("refDes"), e.attr("name")), Package: e.attr("packageRef"),
		Part: e.attr("part"), Mount: e.attr("mountType"), Line: e.line}
	in := r.placed(nil)
	if len(in.at) == 0 {
		r.Warn("part %s has no location; ignored", shorten(p.Ref))
		return
	}
	p.place = in.place()
	p.Rotation, p.Mirror = p.place.angle, p.place.mirror
	if p.At, _ = p.place.point(geom.Point{}); !within(geom.Ring{p.At}) {
		panic(r.Unsupported("part %s lies more than a metre from the origin", shorten(p.Ref)))
	}
	r.step.parts = append(r.step.parts, p)
}

// components settles the parts of the chosen step.
func (r *reader) components(s *stepData) {
	seen := map[string]bool{}
	for _, p := range s.parts {
		c := p.Component
		if seen[c.Ref] {
			r.WarnAt(c.Line, "part %s is placed twice", shorten(c.Ref))
		}
		seen[c.Ref] = true
		c.Side = r.sideOf(p)
		if k := s.packages[c.Package]; k != nil {
			c.Body, _ = p.place.ring(k.body)
			for _, pin := range k.pins {
				if at, ok := p.place.point(pin.At); ok {
					c.Pins = append(c.Pins, Pin{pin.Number, at})
				}
			}
		} else if c.Package != "" {
			r.WarnAt(c.Line, "package %q of part %s is not defined", shorten(c.Package), shorten(c.Ref))
		}
		c.Value = r.bom.value(c.Ref, c.Part)
		c.Absent = r.bom.absent[c.Ref]
		r.out.Components = append(r.out.Components, c)
	}
}

// sideOf is the side of a part's layer, else of its mirroring.
func (r *reader) sideOf(p *part) string {
	if l := r.layers[p.layer]; l != nil && (l.side == "TOP" || l.side == "BOTTOM") {
		return l.side
	}
	if strings.EqualFold(p.layer, "BOTTOM") || p.place.mirror {
		return "BOTTOM"
	}
	return "TOP"
}
