package engine

import (
	"slices"
)

func (w *Locator) IsOpen(part string) bool {
	open := false
	for _, f := range w.findings {
		if f.Part == part {
			open = slices.Contains(Openers, f.Done) || open && !slices.Contains(closers, f.Done)
		}
	}
	return open
}

// Beyond tells of each site whether it lies on nets of the group that only
// one low-ohm part joins to the named one; nil where there are none.
func (s *Pair) Beyond(g int, part string) []bool {
	joined := []int{s.Groups[g][0]}
	for grown := true; grown; {
		grown = false
		for _, l := range s.Links[g] {
			a, b := s.Nets.PadNet(l.A), s.Nets.PadNet(l.B)
			inA, inB := slices.Contains(joined, a), slices.Contains(joined, b)
			if l.Part != part && inA != inB {
				joined = append(joined, a, b)
				grown = true
			}
		}
	}
	beyond, any := make([]bool, len(s.Sites)), false
	for _, n := range s.Groups[g] {
		if slices.Contains(joined, n) {
			continue
		}
		for i, site := range s.Sites {
			layer, at := site.LayerA, site.A
			if g == 1 {
				layer, at = site.LayerB, site.B
			}
			if s.Nets.Copper(n, layer).Contains(at) {
				beyond[i], any = true, true
			}
		}
	}
	if !any {
		return nil
	}
	return beyond
}
