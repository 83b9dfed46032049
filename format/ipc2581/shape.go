package ipc2581

import (
	"cmp"

	"ohmward/geom"
)

// style is how a shape is drawn. References are looked up only when it is
// painted, since the dictionaries may come in any order.
type style struct {
	line    lineStyle
	lined   bool   // the line is described in place
	lineRef string // or by reference
	fill    string // FILL, HOLLOW, VOID, HATCH, MESH; empty: not said
	fillRef string
}

// shape is one primitive as read: in its own frame, with its own placing.
type shape struct {
	kind  string
	area  []geom.Ring // what it covers when filled
	edges []*path     // its outline, or the line itself
	line  bool        // Line, Arc, Polyline, Outline: never filled
	named bool        // a size is given by name: its outline's width adds nothing
	style style
	place placing
	ref   string // StandardPrimitiveRef or UserPrimitiveRef
	user  bool   // ref is to a user primitive
	parts []*shape
}

// readShape reads the primitive just opened; nil for an element that is none.
func (r *reader) readShape(e *element) *shape {
	s := &shape{kind: e.name, place: unmoved}
	if r.stored++; r.stored > r.limits.corners {
		panic(r.Unsupported("too large: more than %d corners", r.limits.corners))
	}
	switch e.name {
	case "StandardPrimitiveRef", "UserPrimitiveRef":
		s.ref, s.user = e.attr("id"), e.name == "UserPrimitiveRef"
	case "UserSpecial":
		r.dressed(s, func(e *element) {
			if part := r.readShape(e); part != nil {
				s.parts = append(s.parts, part)
			}
		})
	case "Contour":
		r.contour(s)
	case "Polygon":
		s.setRing(r.styledPath(s))
	case "Polyline":
		s.line = true
		if p := r.styledPath(s); len(p.steps) > 0 {
			s.edges = append(s.edges, p)
		}
	case "Outline":
		r.outline(s)
	case "Line", "Arc":
		r.lineOrArc(s, e)
	case "Text":
		r.WarnOnce("text drawn with a font is ignored (layer image lacks it)")
		return nil
	default:
		return r.standard(e, s)
	}
	return s
}

// setRing makes a closed path the shape's area and edge.
func (s *shape) setRing(p *path) {
	if ring := p.ring(); ring != nil {
		s.area = append(s.area, ring)
	}
	if len(p.steps) > 0 {
		s.edges = append(s.edges, p.closed())
	}
}

// dressed reads what may stand inside any primitive: its placing, its line
// and its fill; the rest goes to the visitor, which may be nil.
func (r *reader) dressed(s *shape, other func(e *element)) {
	r.each(func(e *element) {
		if !r.dress(s, e) && other != nil {
			other(e)
		}
	})
}

func (r *reader) dress(s *shape, e *element) (known bool) {
	switch e.name {
	case "Xform":
		s.place = r.xform(e)
	case "Location":
		s.place = s.place.at(r.point(e, "x", "y"))
	case "LineDesc":
		s.style.lined = true
		s.style.line = r.lineDesc(e)
	case "LineDescRef":
		s.style.lineRef = e.attr("id")
	case "FillDesc":
		s.style.fill = e.attr("fillProperty")
	case "FillDescRef":
		s.style.fillRef = e.attr("id")
	default:
		return false
	}
	return true
}

func (r *reader) lineDesc(e *element) lineStyle {
	width := r.whole(e, "lineWidth")
	if width < 0 {
		panic(r.Malformed("lineWidth is negative"))
	}
	if p := e.attr("lineProperty"); p != "" && p != "SOLID" {
		r.WarnOnce("a line that is %s is taken as solid", shorten(p))
	}
	return lineStyle{width, cmp.Or(e.attr("lineEnd"), "ROUND")}
}

func (r *reader) styledPath(s *shape) *path {
	return r.readPath(func(e *element) { r.dress(s, e) })
}

func (r *reader) outline(s *shape) {
	s.line = true
	r.dressed(s, func(e *element) {
		if e.name == "Polygon" {
			s.setRing(r.styledPath(s))
		}
	})
}

func (r *reader) lineOrArc(s *shape, e *element) {
	s.line = true
	a := r.point(e, "startX", "startY")
	b := r.point(e, "endX", "endY")
	piece := step{to: b}
	if e.name == "Arc" {
		piece.curve, piece.ccw = true, !yes(e.attr("clockwise"), false)
		piece.centre = r.point(e, "centerX", "centerY")
	}
	s.edges = append(s.edges, &path{a, []step{piece}})
	r.dressed(s, nil)
}
