package engine

import (
	"cmp"
	"ohmward/internal/locate"
	"ohmward/internal/suspect"
	"slices"
)

// Candidate is a place where the short may be, after the readings.
type Candidate struct {
	Site     suspect.Site // the sample that stands for it, as the findings so far have bared it
	P        float64      // the probability of all its samples
	ExtentMM float64      // its length along the facing edges
	Ohms     locate.Range // the short's own resistance, if it is here
	// RadiusMM about the site's midpoint holds RadiusMass of all probability;
	// both are of the best place alone.
	RadiusMM, RadiusMass float64
}

// Candidate gives one of the posterior's places.
func (s *Pair) Candidate(post *locate.Posterior, pl locate.Place) Candidate {
	return Candidate{
		Site: post.Case.Uncovered(s.Sites[pl.Site], len(post.Case.Findings)), P: pl.P, ExtentMM: pl.ExtentMM,
		Ohms: post.Ohms[pl.Site], RadiusMM: pl.RadiusMM, RadiusMass: pl.RadiusMass,
	}
}

// Best gives the best place; nil where there is none.
func (s *Pair) Best(post *locate.Posterior) *Candidate {
	if len(post.Places) == 0 {
		return nil
	}
	c := s.Candidate(post, post.Best)
	return &c
}

// Suspects gives the places where the groups could touch before any reading,
// likeliest first.
func (s *Pair) Suspects() []Candidate { return PriorPlaces(s.Listed()) }

// Before gathers the posterior's samples into the same clusters, as the
// findings alone leave them: what is shown before any reading.
func (s *Pair) Before(post *locate.Posterior) []Candidate {
	sites, of := []suspect.Site{}, map[int]int{} // which sample stands for each cluster
	for i, site := range s.Listed() {
		if post.P[i] == 0 {
			continue
		}
		site.Prior = post.P[i]
		sites = append(sites, site)
		if k, known := of[site.Cluster]; !known || post.P[i] > post.P[k] {
			of[site.Cluster] = i
		}
	}
	slices.SortStableFunc(sites, func(a, b suspect.Site) int { return cmp.Compare(b.Prior, a.Prior) })
	out := PriorPlaces(sites)
	for i := range out {
		out[i].Site = post.Case.Uncovered(out[i].Site, len(post.Case.Findings))
		out[i].Ohms = post.Ohms[of[out[i].Site.Cluster]]
	}
	return out
}

// PriorPlaces gathers samples into the clusters that are shown before any
// reading, likeliest first; each stands at its likeliest sample.
func PriorPlaces(sites []suspect.Site) []Candidate {
	var out []Candidate
	at := map[int]int{}
	for _, site := range sites { // in order of falling probability
		i, known := at[site.Cluster]
		if !known {
			i = len(out)
			at[site.Cluster] = i
			out = append(out, Candidate{Site: site})
		}
		out[i].P += site.Prior
		out[i].ExtentMM += site.Length * 1e3
	}
	slices.SortStableFunc(out, func(a, b Candidate) int { return cmp.Compare(b.P, a.P) })
	return out
}
