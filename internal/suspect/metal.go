package suspect

import (
	"cmp"
	"math"
	"slices"

	"ohmward/geom"
	"ohmward/internal/board"
)

// metalReach is how far beside a marked body bare copper still counts, in
// metres. A body touches what lies under it when it is pressed or tilted, and
// solder wicks along its wall; a millimetre covers the fillets and the play of
// common shells. Loose metal (a strand, a clipping) can reach about 5 mm, but
// seldom does, and from any copper to any other: such places are left to
// "elsewhere", for listing them would thin out the likely ones.
const metalReach = 1.0e-3

// metal lists where bare copper of one group lies under or beside a marked
// body that is tied to the other.
func (s *scene) metal() []Site {
	var out []Site
	for _, marked := range s.q.Bodies {
		for _, part := range s.q.Board.Parts {
			if part.Ref == marked.Part && len(part.Body) >= 3 {
				out = append(out, s.metalSites(part, marked.Group)...)
			}
		}
	}
	return out
}

// metalSites walks the outlines of the other group's bare copper in reach of
// a body: an opening in the mask over a pour counts like a pad.
func (s *scene) metalSites(part board.Part, tied int) []Site {
	tabs := s.tabs(part.Ref, tied)
	if len(tabs) == 0 {
		return nil
	}
	layer := 0
	if part.Side == board.Bottom {
		layer = s.layerCount() - 1
	}
	body := geom.Fill([]geom.Ring{part.Body}, geom.NonZero)
	var out []Site
	for _, poly := range s.bareWithin(layer, 1-tied, geom.Offset(body, nm(metalReach), 50_000)) {
		poly.Rings(func(r geom.Ring) {
			walk(r, 2*s.q.Step, func(st stretch) {
				site := s.metalSite(layer, tied, st, tabs)
				site.Part, site.Gap = part.Ref, regionDistance(body, st.mid)*1e-9
				out = append(out, site)
			})
		})
	}
	return out
}

// bareWithin is a group's copper on an outer layer, free of mask, in a region.
func (s *scene) bareWithin(layer, group int, where geom.Region) geom.Region {
	box := where.Bounds()
	var copper geom.Region
	for _, poly := range s.edges[layer].copper[group] {
		if poly.Bounds().Touches(box) {
			copper = append(copper, poly)
		}
	}
	if m := s.q.Board.Mask[s.side(layer)]; m != nil {
		where = geom.Intersection(where, *m)
	}
	return geom.Intersection(copper, where)
}

// metalSite joins bare copper to the body, and through the body to the
// nearest of its tabs.
func (s *scene) metalSite(layer, tied int, st stretch, tabs []int) Site {
	p := st.mid
	pad := s.q.Board.Pads[slices.MinFunc(tabs, func(i, j int) int {
		return cmp.Compare(metres(s.q.Board.Pads[i].At, p), metres(s.q.Board.Pads[j].At, p))
	})]
	site := Site{Kind: Metal, LayerA: layer, LayerB: pad.Layer, A: p, B: pad.At, Length: st.length,
		Hidden: s.hidden(layer, p)}
	if tied == 0 {
		site.A, site.B, site.LayerA, site.LayerB = site.B, site.A, site.LayerB, site.LayerA
	}
	site.Near = names(s.near[0].nearest(layer, p), s.near[1].nearest(layer, p))
	site.Prior = s.q.Rates.Metal * st.length * 1e3
	return site
}

// tabs are the lands that tie a body to a group: of the part's pads on it the
// drilled ones, where there are any, and of these all but those far smaller
// than the largest, which are pins.
func (s *scene) tabs(ref string, group int) []int {
	var all []int
	drilled := false
	for _, i := range s.pads[group] {
		if s.q.Board.Pads[i].Ref == ref {
			all = append(all, i)
			drilled = drilled || s.q.Board.Pads[i].Hole >= 0
		}
	}
	if drilled {
		all = slices.DeleteFunc(all, func(i int) bool { return s.q.Board.Pads[i].Hole < 0 })
	}
	var largest float64
	for _, i := range all {
		largest = math.Max(largest, s.q.Board.Pads[i].Shape.Area())
	}
	return slices.DeleteFunc(all, func(i int) bool { return s.q.Board.Pads[i].Shape.Area() < largest/3 })
}
