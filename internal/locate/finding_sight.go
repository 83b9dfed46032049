package locate

import (
	"math"

	"ohmward/internal/suspect"
)

// Substances are what can be seen to bridge two nets.
var Substances = []string{"solder", "strand", "sliver", "part", "dirt"}

// A sight that says where what bridges is, and what it is, settles the place: common
// practice, no source.
const (
	sightOdds = 50  // how much likelier the short is there than elsewhere
	sightMM   = 0.5 // by how much the eye misses the place, beyond placeMM
	// sightMisfit is by how much readings fit the best place better (in chi-squared)
	// where they contradict what was seen: three standard deviations.
	sightMisfit = 9
)

// settles tells whether the finding says where what bridges is seen, and what it is.
func (f Finding) settles() bool { return f.Seen == "bridge" && f.What != "" }

// settled is the chance of such a sight, against that at its place.
func (f Finding) settled(s suspect.Site) float64 { return (1 + (sightOdds-1)*f.atSight(s)) / sightOdds }

// atSight tells from 0 to 1 how far a site is what was seen. What lies inside the
// board is not, nor what lies inside a part, unless it is the part itself.
func (f Finding) atSight(s suspect.Site) float64 {
	switch {
	case s.Kind == suspect.Layers, s.Kind == suspect.Part && f.What != "part":
		return 0
	case s.Kind == suspect.Part:
		return choose(f.Relation(s) == Untouched, 0, 1)
	case !f.HasPlace:
		return choose(f.Relation(s) == Untouched, 0, 1)
	case s.LayerA != f.Layer && s.LayerB != f.Layer:
		return 0 // on the other side of the board
	}
	x, y := s.Mid()
	d := max(0, math.Hypot(x-f.X, y-f.Y)-placeMM) / sightMM
	return math.Exp(-d * d / 2)
}

// Sighting is how the readings agree with the place where what bridges was seen.
type Sighting struct {
	Finding int     // its index in the case
	P       float64 // probability of the listed places there
	Listed  bool    // there are any
	Against bool    // the readings fit another place clearly better
	Worst   int     // Against: index of the reading that suits the place least, else -1
	seen    Finding
}

// At tells whether a site lies where what bridges was seen, and no reading
// contradicts that.
func (g Sighting) At(s suspect.Site) bool {
	return g.Finding >= 0 && !g.Against && g.seen.atSight(s) >= 0.5
}

// What is what was seen to bridge, one of Substances.
func (g Sighting) What() string { return g.seen.What }

// Sighting tells of the last finding that settles the place; ok is false where none
// does.
func (p *Posterior) Sighting() (g Sighting, ok bool) {
	g = Sighting{Finding: -1, Worst: -1}
	for i, f := range p.Case.Findings {
		if f.settles() {
			g.Finding, g.seen = i, f
		}
	}
	if g.Finding < 0 {
		return g, false
	}
	there, least, at := math.Inf(1), math.Inf(1), -1
	for _, s := range p.possibleListed() {
		least = math.Min(least, p.fits[s].chi2)
		if g.seen.atSight(p.Case.Sites[s]) < 0.5 {
			continue
		}
		g.Listed = true
		g.P += p.P[s]
		if p.fits[s].chi2 < there {
			there, at = p.fits[s].chi2, s
		}
	}
	if g.Listed && len(p.model.readings) > 0 && there > least+sightMisfit {
		g.Against, g.Worst = true, p.model.index[p.model.furthest(at)]
	}
	return g, true
}
