package suspect

import (
	"math"
	"slices"

	"ohmward/geom"
	"ohmward/internal/parallel"
)

// gaps samples copper of one group facing copper of the other on every layer,
// about every step metres. The layers are walked side by side and listed from
// the top.
func (s *scene) gaps(step float64) []Site {
	on := make([][]Site, s.layerCount())
	parallel.Each(len(on), func(l int) { on[l] = s.gapsOn(l, step) })
	return slices.Concat(on...)
}

// gapsOn walks the outline of the group with less of it, then adds what only
// the other group's outline sees.
func (s *scene) gapsOn(layer int, step float64) []Site {
	e := s.edges[layer]
	if e.all == nil {
		return nil
	}
	first := 0
	if e.length[1] < e.length[0] || e.length[1] == e.length[0] && e.lowest[1] < e.lowest[0] {
		first = 1
	}
	m := merger{at: map[[2]geom.Point]int{}}
	for _, group := range []int{first, 1 - first} {
		look, back := e.facer(group, s.q.Reach), e.facer(1-group, s.q.Reach)
		zone := e.bounds[1-group].Grow(nm(s.q.Reach))
		for n, ring := range e.rings[group] {
			if n%s.every != 0 || !zone.Touches(ring.Bounds()) {
				continue
			}
			walk(ring, step, func(st stretch) {
				if !zone.Touches(st.bounds()) {
					return
				}
				look.face(st, func(f facing) {
					if group == first || !back.answers(f, look.others.Edge(f.edge).Segment, step/2) {
						m.add(s.gapSite(layer, group, st, f))
					}
				})
			})
		}
	}
	return m.sites
}

// answers tells whether the place that a stretch faces, which lies on the
// given edge, looks back at nearly the same place, within slack metres: then
// the walk along the other outline has counted this gap.
func (f *facer) answers(other facing, edge geom.Segment, slack float64) bool {
	hit, ok := f.nearest(other.q, edge)
	return ok && metres(hit.On.Round(), other.p) <= slack && !blocked(f.all, other.q, hit.On.Round())
}

// gapSite is the sample of a stretch of one group's outline; its prior is the
// length that faces, weighted by distance.
func (s *scene) gapSite(layer, group int, st stretch, f facing) Site {
	site := Site{Kind: Gap, LayerA: layer, LayerB: layer, A: f.p, B: f.q, Gap: f.gap,
		Length: st.length * f.share}
	if group == 1 {
		site.A, site.B = f.q, f.p
	}
	site.Prior = s.q.Rates.facing(site.Length, f.typical)
	return site
}

// merger joins samples whose narrowest place is the same: a corner between
// two stretches.
type merger struct {
	sites []Site
	at    map[[2]geom.Point]int
}

func (m *merger) add(s Site) {
	key := [2]geom.Point{s.A, s.B}
	if i, known := m.at[key]; known {
		m.sites[i].Length += s.Length
		m.sites[i].Prior += s.Prior
		return
	}
	m.at[key] = len(m.sites)
	m.sites = append(m.sites, s)
}

// judge fills in what covers and surrounds a gap between nets with the given
// pads, and weighs its prior by it.
func (s *scene) judge(site *Site, pads [2]*padSet) {
	layer := site.LayerA
	inner := !s.outer(layer)
	a, b := pads[0].nearest(layer, site.A), pads[1].nearest(layer, site.B)
	site.Near = names(a, b)
	bare := 0
	if !inner {
		for _, p := range []geom.Point{site.A, site.B} {
			if s.bare(layer, p) {
				bare++
			}
		}
		site.Hidden = s.hidden(layer, geom.Segment{A: site.A, B: site.B}.Bounds().Mid())
	}
	site.Covered = bare < 2
	samePart := a.ref != "" && a.ref == b.ref && math.Max(a.distance, b.distance) < samePartReach
	site.Prior *= s.q.Rates.surroundings(inner, s.pasteNear(layer, site.A, site.B), samePart, site.Hidden, bare)
}

// samePartReach is how near, in metres, two pins of one part must be to a gap
// for it to count as one between them.
const samePartReach = 0.7e-3
