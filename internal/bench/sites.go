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
		site := s.candidateAnswer(s.candidate(post, pl))
		site.Rank = i + 1
		out = append(out, site)
	}
	return out
}

// candidateAnswer writes a place.
func (p *opened) candidateAnswer(c Candidate) Site {
	site := p.siteAnswer(c.Site)
	site.Probability = c.P
	if c.ExtentMM > 0 {
		site.Extent = c.ExtentMM
	}
	site.Ohms = Range{c.Ohms.Low, c.Ohms.Median, c.Ohms.High}
	return site
}

// bestAnswer writes the best place with its radius; nil stays nil.
func (p *opened) bestAnswer(c *Candidate) *Best {
	if c == nil {
		return nil
	}
	b := &Best{Site: p.candidateAnswer(*c), RadiusMM: c.RadiusMM, RadiusMass: c.RadiusMass}
	b.Rank = 1
	return b
}

// truthAnswer writes the place of an invented short.
func (p *opened) truthAnswer(s suspect.Site, ohms float64) Site {
	site := p.siteAnswer(s)
	site.Probability = 1
	site.Ohms = Range{ohms, ohms, ohms}
	return site
}

func distanceMM(a, b geom.Point) float64 {
	return hypotMM(float64(a.X-b.X)*1e-6, float64(a.Y-b.Y)*1e-6)
}

func hypotMM(dx, dy float64) float64 { return math.Hypot(dx, dy) }
