package suspect

import (
	"cmp"
	"slices"
)

// mostPairs bounds the pin pairs of one part that are listed: the nearest.
const mostPairs = 6

// parts lists the fitted parts with pins on both groups, each at its nearest pairs
// of pins.
func (s *scene) parts() []Site {
	pins := map[string][2][]int{}
	var order []string
	absent := map[string]bool{}
	for _, p := range s.q.Board.Parts {
		absent[p.Ref] = p.Absent
	}
	for g := range s.pads {
		for _, i := range s.pads[g] {
			ref := s.q.Board.Pads[i].Ref
			if ref == "" || absent[ref] {
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

// partSites shares a part's rate among its nearest pin pairs: each pin's with
// the nearest of the other group.
func (s *scene) partSites(ref string, pins [2][]int) []Site {
	var pairs [][2]int
	for g := range pins {
		for _, a := range pins[g] {
			pair := [2]int{a, s.nearestPin(a, pins[1-g])}
			if g == 1 {
				pair[0], pair[1] = pair[1], pair[0]
			}
			pairs = append(pairs, pair)
		}
	}
	slices.SortFunc(pairs, func(a, b [2]int) int {
		return cmp.Or(cmp.Compare(s.padDistance(a[0], a[1]), s.padDistance(b[0], b[1])),
			cmp.Compare(min(a[0], a[1]), min(b[0], b[1])), cmp.Compare(max(a[0], a[1]), max(b[0], b[1])))
	})
	var sites []Site
	for _, pair := range s.distinct(pairs) {
		sites = append(sites, s.pairSite(ref, pair[0], pair[1]))
	}
	sites = sites[:min(len(sites), mostPairs)]
	for i := range sites {
		sites[i].Prior = s.q.Rates.part(ref) / float64(len(sites))
	}
	return sites
}

// nearestPin is the one of some pads nearest to a pad; of equals the first.
func (s *scene) nearestPin(pad int, others []int) int {
	return slices.MinFunc(others, func(i, j int) int {
		return cmp.Compare(s.padDistance(pad, i), s.padDistance(pad, j))
	})
}

// distinct drops repeats of one pin pair, which a drilled pin gives once for
// each layer and each side's nearest gives twice.
func (s *scene) distinct(pairs [][2]int) [][2]int {
	seen := map[[2]string]bool{}
	return slices.DeleteFunc(pairs, func(p [2]int) bool {
		key := [2]string{s.q.Board.Pads[p[0]].Terminal(), s.q.Board.Pads[p[1]].Terminal()}
		known := seen[key]
		seen[key] = true
		return known
	})
}

func (s *scene) padDistance(a, b int) float64 {
	return metres(s.q.Board.Pads[a].At, s.q.Board.Pads[b].At)
}

func (s *scene) pairSite(ref string, a, b int) Site {
	pa, pb := &s.q.Board.Pads[a], &s.q.Board.Pads[b]
	near := []string{pa.Name(), pb.Name()}
	if pa.Pin == "" && pb.Pin == "" {
		near = near[:1]
	}
	return Site{Kind: Part, Part: ref, LayerA: pa.Layer, LayerB: pb.Layer, A: pa.At, B: pb.At,
		Near: near, Hidden: true}
}
