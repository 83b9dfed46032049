package ipc2581

import (
	"math"

	"ohmward/geom"
)

// contour reads a polygon with cutouts.
func (r *reader) contour(s *shape) {
	var cuts []geom.Ring
	r.dressed(s, func(e *element) {
		if e.name != "Polygon" && e.name != "Cutout" {
			return
		}
		p := r.styledPath(s)
		if len(p.steps) > 0 {
			s.edges = append(s.edges, p.closed())
		}
		if ring := p.ring(); ring != nil {
			if e.name == "Polygon" {
				s.area = append(s.area, ring)
			} else {
				cuts = append(cuts, ring)
			}
		}
	})
	s.area = r.cut(s.area, cuts)
}

// cut gives rings whose non-zero filling is the outer area without the
// cutouts. Where the cutouts lie apart and inside, which is the rule, they are
// only turned clockwise and every corner stays as it was; otherwise their
// windings would not cancel, and the difference is worked out.
func (r *reader) cut(outer, cuts []geom.Ring) []geom.Ring {
	if len(cuts) == 0 {
		return outer
	}
	out := append([]geom.Ring(nil), outer...)
	want := 0.0
	for _, ring := range outer {
		want += ring.Area()
	}
	border := 0.0
	for _, ring := range cuts {
		want -= ring.Area()
		out = append(out, ring.Reverse())
		b := ring.Bounds()
		border += float64(b.Max.X - b.Min.X + b.Max.Y - b.Min.Y)
	}
	d := geom.Difference(geom.Fill(outer, geom.NonZero), geom.Fill(cuts, geom.NonZero))
	// Snapping moves an edge by a few nanometres at most.
	if math.Abs(d.Area()-want) <= 10*border {
		return out
	}
	r.WarnOnce("cutouts of a contour overlap or reach outside it")
	return d.AllRings()
}
