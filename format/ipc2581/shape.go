package ipc2581

import "ohmward/geom"

// style is how a shape is drawn. References are looked up only when it is
// painted, since the dictionaries may come in any order.
type style struct {
	width   int64
	ends    string
	lined   bool   // a line is described in place
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
func (r *reader) readShape(e *element) (*shape, error) {
	s := &shape{kind: e.name, place: unmoved}
	if r.stored++; r.stored > r.limits.corners {
		return nil, r.Unsupported("too large: more than %d corners", r.limits.corners)
	}
	switch e.name {
	case "StandardPrimitiveRef", "UserPrimitiveRef":
		s.ref, s.user = e.attr("id"), e.name == "UserPrimitiveRef"
		return s, nil
	case "UserSpecial":
		return s, r.dressed(s, func(e *element) error {
			part, err := r.readShape(e)
			if part != nil {
				s.parts = append(s.parts, part)
			}
			return err
		})
	case "Contour":
		return s, r.contour(s)
	case "Polygon":
		p, err := r.styledPath(s)
		s.setRing(p)
		return s, err
	case "Polyline":
		p, err := r.styledPath(s)
		s.line = true
		if p != nil && len(p.steps) > 0 {
			s.edges = append(s.edges, p)
		}
		return s, err
	case "Outline":
		return s, r.outline(s)
	case "Line", "Arc":
		return s, r.lineOrArc(s, e)
	case "Text":
		r.WarnOnce("text drawn with a font is ignored (layer image lacks it)")
		return nil, nil
	}
	return r.standard(e, s)
}

// setRing makes a closed path the shape's area and edge.
func (s *shape) setRing(p *path) {
	if p == nil {
		return
	}
	if ring := p.ring(); ring != nil {
		s.area = append(s.area, ring)
	}
	if len(p.steps) > 0 {
		s.edges = append(s.edges, p.closed())
	}
}

// dressed reads what may stand inside any primitive: its placing, its line
// and its fill; the rest goes to the visitor, which may be nil.
func (r *reader) dressed(s *shape, other func(e *element) error) error {
	return r.each(func(e *element) error {
		known, err := r.dress(s, e)
		if err != nil || known || other == nil {
			return err
		}
		return other(e)
	})
}

func (r *reader) dress(s *shape, e *element) (known bool, err error) {
	switch e.name {
	case "Xform":
		s.place, err = r.xform(e)
	case "Location":
		at, err := r.point(e, "x", "y")
		s.place = s.place.at(at)
		return true, err
	case "LineDesc":
		s.style.lined = true
		s.style.width, s.style.ends, err = r.lineDesc(e)
	case "LineDescRef":
		s.style.lineRef = e.attr("id")
	case "FillDesc":
		s.style.fill = e.attr("fillProperty")
	case "FillDescRef":
		s.style.fillRef = e.attr("id")
	default:
		return false, nil
	}
	return true, err
}

func (r *reader) lineDesc(e *element) (width int64, ends string, err error) {
	width, err = r.whole(e, "lineWidth")
	if err == nil && width < 0 {
		err = r.Malformed("lineWidth is negative")
	}
	if p := e.attr("lineProperty"); p != "" && p != "SOLID" {
		r.WarnOnce("a line that is %s is taken as solid", shorten(p))
	}
	if ends = e.attr("lineEnd"); ends == "" {
		ends = "ROUND"
	}
	return width, ends, err
}

func (r *reader) styledPath(s *shape) (*path, error) {
	return r.readPath(func(e *element) error {
		_, err := r.dress(s, e)
		return err
	})
}

func (r *reader) outline(s *shape) error {
	s.line = true
	return r.dressed(s, func(e *element) error {
		if e.name != "Polygon" {
			return nil
		}
		p, err := r.styledPath(s)
		s.setRing(p)
		return err
	})
}

func (r *reader) lineOrArc(s *shape, e *element) error {
	s.line = true
	a, err := r.point(e, "startX", "startY")
	if err != nil {
		return err
	}
	b, err := r.point(e, "endX", "endY")
	if err != nil {
		return err
	}
	piece := step{to: b}
	if e.name == "Arc" {
		piece.curve, piece.ccw = true, !yes(e.attr("clockwise"), false)
		if piece.centre, err = r.point(e, "centerX", "centerY"); err != nil {
			return err
		}
	}
	s.edges = append(s.edges, &path{a, []step{piece}})
	return r.dressed(s, nil)
}
