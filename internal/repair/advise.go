// Package repair orders what to do about a short: cleaning and looking before
// any iron, then by chance of clearing it per cost, damage priced in.
//
// It works on a posterior of package locate; probabilities are of the short
// being gone after the action. Minutes are bench minutes. It keeps nothing
// and may be used from several goroutines.
package repair

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"ohmward/internal/locate"
	"ohmward/internal/suspect"
)

// Part is what the order needs to know of a component.
type Part struct {
	Ref     string  // reference designator
	Pins    int     // how many
	PitchMM float64 // nearest pins, centre to centre; 0: not known
	BigTabs bool    // soldered shell or heat-sink pad
	Ceramic bool    // ceramic capacitor: not refitted once removed
	Heats   int     // times its pads were heated already
}

// Action is one thing to do.
type Action struct {
	What        string  // clean and look, wick, reflow, scrape, remove
	Part        string  // of a part; or
	Site        int     // of a site, -1 where the part says it
	Probability float64 // that the short is gone after it, or seen
	Minutes     float64 // bench time
	DamageRisk  float64 // chance of harm to board or part
	Why         string  // one clause for people
	Care        string  // what it needs care for, one clause; "": nothing, it is in Why too
	rate        float64
	stage       int
}

// Deeds, by What, as findings name them.
var done = map[string]string{
	"clean and look": "cleaned", "wick": "wicked", "reflow": "reflowed", "remove": "removed",
	"scrape": "scraped",
}

// Done gives the word by which a finding records the action.
func (a Action) Done() string { return done[a.What] }

const (
	minSite  = 0.01 // places with less are not worth an action of their own
	reachMM  = 1.5  // an iron reaches about so far
	lookMM   = 3.0  // one cleaning and one look take in so much
	mostActs = 12
)

// Advise lists actions in the order advised. Cleaning and looking comes
// first wherever it has not been done, then the hot actions by p/(cost), with
// cost the minutes plus the damage risk priced at damageMinutes: for a single
// fault and independent actions that order has the least mean cost (Blackwell;
// Stone, Theory of Optimal Search, 4.3).
//
// Where what bridges was seen comes before all that, looking elsewhere too.
func Advise(p *locate.Posterior, parts []Part) []Action {
	list := append(looks(p), hot(p, parts)...)
	sightedFirst(p, list)
	arrange(list)
	return list[:min(len(list), mostActs)]
}

// sightedFirst puts what is done where what bridges was seen before the rest, as
// long as the readings do not contradict it: taking the part off where it is the
// part itself, else what is done to the spot.
func sightedFirst(p *locate.Posterior, list []Action) {
	g, ok := p.Sighting()
	if !ok {
		return
	}
	parts := map[string]bool{}
	for t, s := range p.Case.Sites {
		if p.P[t] >= minSite && s.Part != "" && g.At(s) {
			parts[s.Part] = true
		}
	}
	for i := range list {
		a := &list[i]
		spot := a.Site >= 0 && g.At(p.Case.Sites[a.Site]) && g.What() != "part"
		if spot || a.What == "remove" && g.What() == "part" && parts[a.Part] {
			a.stage = -1
		}
	}
}

// arrange sorts by stage, then by chance per cost.
func arrange(list []Action) {
	for i := range list {
		a := &list[i]
		a.rate = a.Probability / (a.Minutes + damageMinutes*a.DamageRisk)
	}
	slices.SortStableFunc(list, func(a, b Action) int {
		return cmp.Or(cmp.Compare(a.stage, b.stage), cmp.Compare(b.rate, a.rate))
	})
}

// bared is a site as it lies now: under a part that was taken off nothing is
// hidden.
func bared(p *locate.Posterior, site int) suspect.Site {
	return p.Case.Uncovered(p.Case.Sites[site], len(p.Case.Findings))
}

// tried tells whether an action was done at a site before, as it lies now: what a
// part hid then and does not any more was out of reach.
func tried(p *locate.Posterior, action string, site int) bool {
	s, now := p.Case.Sites[site], bared(p, site)
	for n, f := range p.Case.Findings {
		if f.Done == action && f.Relation(s) != locate.Untouched && (now.Hidden || !p.Case.Uncovered(s, n).Hidden) {
			return true
		}
	}
	return false
}

// looks lists cleaning and looking, one for each spot not yet cleaned.
func looks(p *locate.Posterior) []Action {
	var out []Action
	sight, _ := p.Sighting()
	for _, pl := range spots(p, lookMM) {
		s := bared(p, pl.site)
		if sight.At(s) && sight.What() != "strand" && sight.What() != "dirt" {
			continue // it was seen, and no brush takes it off
		}
		if pl.mass < minSite || tried(p, "cleaned", pl.site) {
			continue
		}
		chance := 0.0
		for _, t := range pl.sites {
			q := bared(p, t)
			seen := locate.ClearChance("looked", locate.Adjacent, q)
			gone := locate.ClearChance("cleaned", locate.Adjacent, q)
			chance += p.P[t] * (1 - (1-seen)*(1-gone))
		}
		out = append(out, Action{
			What: "clean and look", Part: s.Part, Site: pl.site, Probability: chance, Minutes: 3,
			Why: fmt.Sprintf("%s that the short is at %s, where this shows or clears it %s; no heat, nothing can "+
				"break%s",
				ProbabilityText(pl.mass), locate.Name(s), often(chance/pl.mass), also(hint(s))),
			Care: andAlso("no heat, nothing can break", hint(s)),
		})
	}
	return out
}

// ProbabilityText writes a chance that the short is somewhere; never as a certainty.
func ProbabilityText(p float64) string {
	if p >= 0.985 {
		return "over 98 %"
	}
	return fmt.Sprintf("%.0f %%", 100*p)
}

// often puts into words how likely an action works where the short is there.
func often(p float64) string {
	switch n := math.Round(10 * p); {
	case n >= 10:
		return "nearly always"
	case n >= 2:
		return fmt.Sprintf("%.0f times in 10", n)
	case p > 0.005:
		return fmt.Sprintf("one time in %.0f", 1/p)
	}
	return "hardly ever"
}

func hint(s suspect.Site) string {
	switch {
	case s.Hidden:
		return "use a mirror, light from the side or X-ray"
	case s.Covered:
		return "look for copper shining through the mask"
	}
	return ""
}

// also puts a clause behind another, if there is one.
func also(clause string) string { return andAlso("", clause) }

func andAlso(first, second string) string {
	if second == "" {
		return first
	}
	return first + "; " + second
}

// spot is what one pair of hands works on at once: all sites within reach.
type spot struct {
	site  int
	sites []int
	mass  float64
}

// spots gathers all sites near the listed places, heaviest first; each site
// counts once.
func spots(p *locate.Posterior, reach float64) []spot {
	taken := make([]bool, len(p.P))
	var out []spot
	for _, pl := range p.Places {
		if taken[pl.Site] {
			continue
		}
		x, y := p.Case.Sites[pl.Site].Mid()
		sp := spot{site: pl.Site}
		for t, q := range p.Case.Sites {
			qx, qy := q.Mid()
			if !taken[t] && p.P[t] > 0 && math.Hypot(qx-x, qy-y) <= reach {
				taken[t] = true
				sp.sites = append(sp.sites, t)
				sp.mass += p.P[t]
			}
		}
		out = append(out, sp)
	}
	slices.SortStableFunc(out, func(a, b spot) int { return cmp.Compare(b.mass, a.mass) })
	return out
}
