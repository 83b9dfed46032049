package ipc2581

import (
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

func (r *reader) pack(e *element) error {
	p := &pkg{}
	if err := r.full(len(r.step.packages), "packages"); err != nil {
		return err
	}
	r.step.packages[e.attr("name")] = p
	return r.each(func(e *element) error {
		switch e.name {
		case "Outline":
			s := &shape{place: unmoved}
			if err := r.outline(s); err != nil || len(s.area) == 0 || p.body != nil {
				return err
			}
			p.body, _ = s.place.ring(s.area[0])
		case "Pin":
			number := e.attr("number")
			if number == "" {
				number = e.attr("name")
			}
			place, _, err := r.placed(nil)
			if err != nil {
				return err
			}
			at, _ := place.point(geom.Point{})
			p.pins = append(p.pins, Pin{number, at})
			r.step.pins++
			return r.full(r.step.pins, "pins")
		}
		return nil
	})
}

func (r *reader) component(e *element) error {
	if err := r.full(len(r.step.parts), "components"); err != nil {
		return err
	}
	p := &part{layer: e.attr("layerRef"), place: unmoved}
	p.Component = Component{Ref: e.attr("refDes"), Package: e.attr("packageRef"), Part: e.attr("part"),
		Mount: e.attr("mountType"), Line: e.line}
	if p.Ref == "" {
		p.Ref = e.attr("name")
	}
	located := false
	var at geom.Point
	err := r.each(func(e *element) error {
		var err error
		switch e.name {
		case "Xform":
			p.place, err = r.xform(e)
		case "Location":
			located = true
			at, err = r.point(e, "x", "y")
		}
		return err
	})
	if err != nil {
		return err
	}
	if !located {
		r.Warn("part %s has no location; ignored", shorten(p.Ref))
		return nil
	}
	p.place = p.place.at(at)
	p.Rotation, p.Mirror = p.place.angle, p.place.mirror
	if p.At, _ = p.place.point(geom.Point{}); !within(geom.Ring{p.At}) {
		return r.Unsupported("part %s lies more than a metre from the origin", shorten(p.Ref))
	}
	r.step.parts = append(r.step.parts, p)
	return nil
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
