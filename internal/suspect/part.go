package suspect

import (
	"slices"

	"ohmward/internal/geom"
)

// mostPairs bounds the pin pairs of one part that are listed: the nearest.
const mostPairs = 6

// parts lists the parts with pins on both groups, each at its nearest pairs
// of pins.
func (s *scene) parts() []Site {
	pins := map[string][2][]int{}
	var order []string
	for g := range s.pads {
		for _, i := range s.pads[g] {
			ref := s.q.Board.Pads[i].Ref
			if ref == "" || s.q.Board.Pads[i].Pin == "" {
				continue
			}
			p, known := pins[ref]
			if !known {
				order = append(order, ref)
			}
			p[g] = append(p[g], i)
			pins[ref] = p
		}
	}
	var out []Site
	for _, ref := range order {
		if p := pins[ref]; len(p[0]) > 0 && len(p[1]) > 0 {
			out = append(out, s.partSites(ref, p)...)
		}
	}
	return out
}

// partSites shares a part's rate among its nearest pin pairs.
func (s *scene) partSites(ref string, pins [2][]int) []Site {
	var sites []Site
	for _, a := range pins[0] {
		best := -1
		for _, b := range pins[1] {
			if best < 0 || s.padDistance(a, b) < s.padDistance(a, best) {
				best = b
			}
		}
		sites = append(sites, s.pairSite(ref, a, best))
	}
	slices.SortStableFunc(sites, func(a, b Site) int {
		switch da, db := metres(a.A, a.B), metres(b.A, b.B); {
		case da < db:
			return -1
		case da > db:
			return 1
		}
		return 0
	})
	sites = distinct(sites)
	sites = sites[:min(len(sites), mostPairs)]
	for i := range sites {
		sites[i].Prior = s.q.Rates.part(ref) / float64(len(sites))
	}
	return sites
}

// distinct drops repeats of one pin pair, which a drilled pin gives once for
// each layer.
func distinct(sites []Site) []Site {
	seen := map[string]bool{}
	return slices.DeleteFunc(sites, func(s Site) bool {
		key := s.Near[0] + "|" + s.Near[1]
		known := seen[key]
		seen[key] = true
		return known
	})
}

func (s *scene) padDistance(a, b int) float64 {
	return metres(s.q.Board.Pads[a].At, s.q.Board.Pads[b].At)
}

func (s *scene) pairSite(ref string, a, b int) Site {
	pa, pb := s.q.Board.Pads[a], s.q.Board.Pads[b]
	return Site{
		Kind: Part, Part: ref, LayerA: pa.Layer, LayerB: pb.Layer, A: pa.At, B: pb.At,
		Near: []string{pa.Ref + "." + pa.Pin, pb.Ref + "." + pb.Pin}, Hidden: true,
	}
}

// Reach of foreign metal under and beside a marked body, metres.
const metalReach = 1.0e-3

// metal lists where bare copper of one group lies under or beside a marked
// body that is tied to the other.
func (s *scene) metal() []Site {
	var out []Site
	for _, marked := range s.q.Bodies {
		for _, part := range s.q.Board.Parts {
			if part.Ref == marked.Part && len(part.Body) >= 3 {
				out = append(out, s.metalSites(part.Ref, part.Body, int(part.Side), marked.Group)...)
			}
		}
	}
	return out
}

func (s *scene) metalSites(ref string, outline geom.Ring, side, tied int) []Site {
	layer := 0
	if side == 1 {
		layer = s.layerCount() - 1
	}
	near := geom.Offset(geom.Fill([]geom.Ring{outline}, geom.NonZero), nm(metalReach), 50_000)
	box := near.Bounds()
	var tabs []int
	for _, i := range s.pads[tied] {
		if s.q.Board.Pads[i].Ref == ref {
			tabs = append(tabs, i)
		}
	}
	if len(tabs) == 0 {
		return nil
	}
	var out []Site
	for _, ring := range s.edges[layer].rings[1-tied] {
		if !ring.Bounds().Touches(box) {
			continue
		}
		alongRing(ring, 2*s.q.Step, func(p geom.Point, length float64) {
			if !near.Contains(p) || !s.bare(layer, p) {
				return
			}
			out = append(out, s.metalSite(ref, layer, tied, p, length, tabs))
		})
	}
	return out
}

// metalSite joins bare copper to the body, and through the body to the
// nearest of its tabs.
func (s *scene) metalSite(ref string, layer, tied int, p geom.Point, length float64, tabs []int) Site {
	tab := slices.MinFunc(tabs, func(a, b int) int {
		switch da, db := metres(s.q.Board.Pads[a].At, p), metres(s.q.Board.Pads[b].At, p); {
		case da < db:
			return -1
		case da > db:
			return 1
		}
		return 0
	})
	pad := s.q.Board.Pads[tab]
	site := Site{
		Kind: Metal, Part: ref, LayerA: layer, LayerB: pad.Layer, A: p, B: pad.At,
		Length: length, Hidden: s.hidden(layer, p),
	}
	pads := [2]pin{s.nearPad(s.pads[0], layer, p), s.nearPad(s.pads[1], layer, p)}
	if tied == 0 {
		site.A, site.B, site.LayerA, site.LayerB = site.B, site.A, site.LayerB, site.LayerA
	}
	site.Near = names(pads[0], pads[1])
	site.Prior = s.q.Rates.Metal * length * 1e3
	return site
}
