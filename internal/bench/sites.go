package bench

import (
	"ohmward/internal/answer"
	"ohmward/internal/engine"
	"ohmward/internal/locate"
	"ohmward/internal/suspect"
)

// SiteAnswer writes one sample as the answers have it.
func SiteAnswer(p *engine.Board, s suspect.Site) answer.Site {
	ax, ay := s.A.MM()
	bx, by := s.B.MM()
	near := s.Near
	if near == nil {
		near = []string{}
	}
	return answer.Site{
		Probability: s.Prior, Kind: s.Kind.String(), Layer: p.Layout.Layers[s.LayerA].Name,
		X: ax, Y: ay, X2: bx, Y2: by, Gap: s.Gap * 1e3, Extent: s.Length * 1e3,
		Near: near, Hidden: s.Hidden, Covered: s.Covered, Part: s.Part,
	}
}

// priorPlaces writes the places that are shown before any reading, likeliest
// first.
func priorPlaces(p *engine.Board, sites []suspect.Site) []answer.Site {
	var out []answer.Site
	for i, c := range engine.PriorPlaces(sites) {
		site := candidateAnswer(p, c)
		site.Rank = i + 1
		out = append(out, site)
	}
	return out
}

// places writes the posterior's places and counts them, those beyond the list
// too. Before any reading they are the suspects, counted as those are.
func places(s *engine.Pair, post *locate.Posterior) (out []answer.Site, count int) {
	var list []engine.Candidate
	if post.Fit.Verdict == locate.NoReading {
		list = s.Before(post)
		count = len(list)
	} else {
		for _, pl := range post.Places {
			list = append(list, s.Candidate(post, pl))
		}
		count = post.Count
	}
	out = []answer.Site{}
	for i, c := range list {
		site := candidateAnswer(s.Board, c)
		site.Rank = i + 1
		out = append(out, site)
	}
	return out, count
}

// candidateAnswer writes a place.
func candidateAnswer(p *engine.Board, c engine.Candidate) answer.Site {
	site := SiteAnswer(p, c.Site)
	site.Probability = c.P
	if c.ExtentMM > 0 {
		site.Extent = c.ExtentMM
	}
	site.Ohms = answer.Range{Low: c.Ohms.Low, Median: c.Ohms.Median, High: c.Ohms.High}
	return site
}

// bestAnswer writes the best place with its radius; nil stays nil.
func bestAnswer(p *engine.Board, c *engine.Candidate) *answer.Best {
	if c == nil {
		return nil
	}
	b := &answer.Best{Site: candidateAnswer(p, *c), RadiusMM: c.RadiusMM, RadiusMass: c.RadiusMass}
	b.Rank = 1
	return b
}

// truthAnswer writes the place of an invented short.
func truthAnswer(p *engine.Board, s suspect.Site, ohms float64) answer.Site {
	site := SiteAnswer(p, s)
	site.Probability = 1
	site.Ohms = answer.Range{Low: ohms, Median: ohms, High: ohms}
	return site
}
