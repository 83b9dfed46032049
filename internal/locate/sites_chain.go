package locate

import (
	"math"
	"sort"

	"ohmward/internal/suspect"
)

// link says which samples lie next to one along the line of suspects: fore
// and the previous on its two sides, -1 at an end, and how far apart in metres. For an
// end, one of the two is the sample itself.
type link struct {
	next, prev int32
	span       float64 // metres from aft to fore
}

// chains finds every sample's neighbours along its own suspect: the nearest
// sample of the same kind, layers and cluster, and the nearest on the other
// side of it. A sample without neighbour gets span 0.
func chains(sites []suspect.Site) []link {
	groups := map[suspectKey][]int32{}
	for i, s := range sites {
		k := suspectKey{int(s.Kind), s.LayerA, s.LayerB, s.Cluster, s.Part}
		groups[k] = append(groups[k], int32(i))
	}
	links := make([]link, len(sites))
	for i := range links {
		links[i] = link{int32(i), int32(i), 0}
	}
	for _, g := range groups {
		if len(g) > 1 {
			linkGroup(sites, g, links)
		}
	}
	return links
}

// linkGroup searches along x, which keeps big groups cheap.
func linkGroup(sites []suspect.Site, group []int32, links []link) {
	x := make([]float64, len(group))
	y := make([]float64, len(group))
	sort.Slice(group, func(i, j int) bool {
		xi, _ := sites[group[i]].Mid()
		xj, _ := sites[group[j]].Mid()
		return xi < xj || xi == xj && group[i] < group[j]
	})
	for i, s := range group {
		x[i], y[i] = sites[s].Mid()
	}
	for i, s := range group {
		reach := 3 * sites[s].Length * 1e3
		near := nearest(x, y, i, reach, func(int) bool { return true })
		if near < 0 {
			continue
		}
		dx, dy := x[near]-x[i], y[near]-y[i]
		links[s] = link{next: group[near], prev: s, span: math.Hypot(dx, dy) * 1e-3}
		far := nearest(x, y, i, reach, func(j int) bool {
			return dx*(x[j]-x[i])+dy*(y[j]-y[i]) < 0
		})
		if far >= 0 {
			links[s].prev = group[far]
			links[s].span = math.Hypot(x[near]-x[far], y[near]-y[far]) * 1e-3
		}
	}
}

// nearest gives the index of the point closest to point i within reach (mm),
// at a distance above zero, that keep accepts; -1 where there is none.
func nearest(x, y []float64, i int, reach float64, keep func(int) bool) int {
	best, bestD := -1, reach
	for _, step := range [2]int{-1, 1} {
		for j := i + step; j >= 0 && j < len(x) && math.Abs(x[i]-x[j]) < bestD; j += step {
			if d := math.Hypot(x[j]-x[i], y[j]-y[i]); d > 1e-6 && d < bestD && keep(j) {
				best, bestD = j, d
			}
		}
	}
	return best
}
