package bench

import (
	"math"

	"ohmward/geom"
	"ohmward/internal/locate"
	"ohmward/internal/suspect"
)

// siteAnswer writes one sample as the answers have it.
func (p *opened) siteAnswer(s suspect.Site) Site {
	ax, ay := s.A.MM()
	bx, by := s.B.MM()
	near := s.Near
	if near == nil {
		near = []string{}
	}
	return Site{
		Probability: s.Prior, Kind: s.Kind.String(), Layer: p.board.Layers[s.LayerA].Name,
		X: ax, Y: ay, X2: bx, Y2: by, Gap: s.Gap * 1e3, Extent: s.Length * 1e3,
		Near: near, Hidden: s.Hidden, Covered: s.Covered, Part: s.Part,
	}
}

// priorPlaces gathers samples into the clusters that are shown before any
// reading, most likely first; each stands at its likeliest sample.
func (p *opened) priorPlaces(sites []suspect.Site) []Site {
	var out []Site
	at := map[int]int{}
	for _, s := range sites { // in order of falling probability
		i, ok := at[s.Cluster]
		if !ok {
			at[s.Cluster] = len(out)
			out = append(out, p.siteAnswer(s))
			continue
		}
		out[i].Probability += s.Prior
		out[i].Extent += s.Length * 1e3
	}
	sortSites(out)
	return out
}

// places writes the posterior's places.
func (s *session) places(post *locate.Posterior) []Site {
	out := []Site{}
	for i, pl := range post.Places {
		site := s.placeAnswer(post, pl)
		site.Rank = i + 1
		out = append(out, site)
	}
	return out
}

func (s *session) placeAnswer(post *locate.Posterior, pl locate.Place) Site {
	site := s.siteAnswer(post.Case.Bared(s.sites[pl.Site], len(post.Case.Findings)))
	site.Probability = pl.P
	if pl.ExtentMM > 0 {
		site.Extent = pl.ExtentMM
	}
	r := post.Ohms[pl.Site]
	site.Ohms = Range{r.Low, r.Median, r.High}
	return site
}

// best writes the best place with its radius; nil where there is none.
func (s *session) best(post *locate.Posterior) *Best {
	if len(post.Places) == 0 {
		return nil
	}
	b := &Best{Site: s.placeAnswer(post, post.Best), RadiusMM: post.Best.RadiusMM, RadiusMass: post.Best.RadiusMass}
	b.Rank = 1
	return b
}

func distanceMM(a, b geom.Point) float64 {
	return hypotMM(float64(a.X-b.X)*1e-6, float64(a.Y-b.Y)*1e-6)
}

func hypotMM(dx, dy float64) float64 { return math.Hypot(dx, dy) }
