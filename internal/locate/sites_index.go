package locate

import (
	"cmp"
	"slices"

	"ohmward/internal/suspect"
)

// SiteIndex is what a list of sites says by itself, without readings: who lies next
// to whom. Every Solve needs it; it is worth keeping where many are to come.
type SiteIndex struct {
	links []link
	x, y  []float64 // midpoints, mm
	id    []int32   // of the suspect that a sample belongs to
	keys  []suspectKey
	along []int // the samples suspect by suspect, neighbours mostly side by side
}

// NewSiteIndex works out the index of sites.
func NewSiteIndex(sites []suspect.Site) *SiteIndex {
	l := &SiteIndex{links: chains(sites), id: make([]int32, len(sites))}
	known := map[suspectKey]int32{}
	for s, site := range sites {
		x, y := site.Mid()
		l.x, l.y = append(l.x, x), append(l.y, y)
		k := keyOf(site)
		id, is := known[k]
		if !is {
			id = int32(len(l.keys))
			known[k] = id
			l.keys = append(l.keys, k)
		}
		l.id[s] = id
		l.along = append(l.along, s)
	}
	slices.SortFunc(l.along, func(a, b int) int {
		return cmp.Or(cmp.Compare(l.id[a], l.id[b]), cmp.Compare(l.x[a], l.x[b]), cmp.Compare(l.y[a], l.y[b]),
			cmp.Compare(a, b))
	})
	return l
}

// siteIndex gives the case's own, or works it out.
func (c Case) siteIndex() *SiteIndex {
	if c.Index != nil && len(c.Index.id) == len(c.Sites) {
		return c.Index
	}
	return NewSiteIndex(c.Sites)
}

// suspectKey tells suspects apart that are shown apart.
type suspectKey struct {
	kind, a, b, cluster int
	part                string
}

func keyOf(q suspect.Site) suspectKey {
	if q.Part != "" {
		q.Cluster = 0 // several pairs of pins, one part
	}
	return suspectKey{int(q.Kind), q.LayerA, q.LayerB, q.Cluster, q.Part}
}
