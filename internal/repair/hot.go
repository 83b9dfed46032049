package repair

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"ohmward/internal/locate"
	"ohmward/internal/suspect"
)

// cost is what a hot action takes: common practice, no source; edit here.
type cost struct{ minutes, damage float64 }

// damageMinutes is what a damaged board or part costs in bench minutes.
const damageMinutes = 240

// perHeat is the added risk for each time the pads were heated before; at the
// second heat BENCH.md warns, at the third it stops.
const (
	perHeat  = 0.05
	maxHeats = 2
)

// removal is the cost of taking a part off and cleaning its pads.
func (q Part) removal() cost {
	c := cost{minutes: 4, damage: 0.01} // two-pin chip
	switch {
	case q.BigTabs:
		c = cost{45, 0.20}
	case q.Pins > 40:
		c = cost{40, 0.12}
	case q.Pins > 8:
		c = cost{25, 0.08}
	case q.Pins > 3:
		c = cost{12, 0.04}
	}
	if q.fine() {
		c.minutes *= 1.3
		c.damage += 0.03
	}
	if q.Ceramic {
		c.minutes++ // a new one must be found: the old one is not refitted
	}
	c.damage += perHeat * float64(q.Heats)
	return c
}

func (q Part) fine() bool { return q.PitchMM > 0 && q.PitchMM < 0.65 }

// touchUp is the cost of wicking or reflowing at one place.
func touchUp(q Part, what string) cost {
	c := cost{3, 0.01}
	if what == "wick" {
		c = cost{4, 0.015} // the wick itself may bridge
	}
	if q.fine() {
		c.minutes *= 1.5
		c.damage += 0.02
	}
	if q.BigTabs {
		c.minutes *= 3
		c.damage += 0.02
	}
	c.damage += perHeat * float64(q.Heats)
	return c
}

// hot lists everything that needs an iron.
func hot(p *locate.Posterior, parts []Part) []Action {
	known := map[string]Part{}
	for _, q := range parts {
		known[q.Ref] = q
	}
	var out []Action
	for _, sp := range spots(p, reachMM) {
		if sp.mass >= minSite {
			out = append(out, touchUps(p, sp, known)...)
		}
	}
	return append(out, removals(p, known)...)
}

// touchUps are wicking and reflowing at one spot.
func touchUps(p *locate.Posterior, sp spot, known map[string]Part) []Action {
	s := bared(p, sp.site)
	var part Part // that the site belongs to, or is nearest
	if refs := owners(s); len(refs) > 0 {
		part = known[refs[0]]
	}
	if part.Heats > maxHeats {
		return nil
	}
	var out []Action
	for _, what := range []string{"wick", "reflow"} {
		if tried(p, done[what], sp.site) {
			continue
		}
		chance := 0.0
		for _, t := range sp.sites {
			chance += p.P[t] * locate.ClearChance(done[what], locate.Adjacent, bared(p, t))
		}
		if chance < minSite {
			continue
		}
		c := touchUp(part, what)
		out = append(out, Action{
			What: what, Site: sp.site, Part: s.Part, Probability: chance, Minutes: c.minutes, DamageRisk: c.damage,
			Why: fmt.Sprintf("%s that the short is at %s, where this clears it %s%s",
				ProbabilityText(sp.mass), locate.Name(s), often(chance/sp.mass), also(warn(part))),
			Care:  warn(part),
			stage: stageOf(part),
		})
	}
	return append(out, scrapes(p, sp, part)...)
}

// scrapes are scraping the mask off at one spot and cutting what bridges under
// it, where solder does not get: an etch sliver. It needs no heat and may be
// done again.
func scrapes(p *locate.Posterior, sp spot, part Part) []Action {
	s := p.Case.Sites[sp.site]
	if s.Kind != suspect.Gap || !s.Covered {
		return nil
	}
	chance := 0.0
	for _, t := range sp.sites {
		if q := p.Case.Sites[t]; q.Kind == suspect.Gap && q.Covered {
			chance += p.P[t] * locate.ClearChance("scraped", locate.Adjacent, q)
		}
	}
	c := cost{minutes: 6, damage: 0.03} // under a microscope, with a blade
	if part.fine() {
		c.damage += 0.02
	}
	if chance < minSite {
		return nil
	}
	return []Action{{
		What: "scrape", Site: sp.site, Probability: chance, Minutes: c.minutes, DamageRisk: c.damage,
		Why: fmt.Sprintf("%s: %s that the short is here, under the mask where solder does not get",
			locate.Name(s), ProbabilityText(sp.mass)),
		Care:  "under the mask, where solder does not get; no heat",
		stage: 1,
	}}
}

// removals are taking off each part that may hold the short.
func removals(p *locate.Posterior, known map[string]Part) []Action {
	chance, there := map[string]float64{}, map[string]float64{}
	for t, s := range p.Case.Sites {
		if p.P[t] == 0 {
			continue
		}
		for _, ref := range owners(s) {
			f := locate.Finding{Part: ref}
			chance[ref] += p.P[t] * locate.ClearChance("removed", f.Relation(s), s)
			if f.Relation(s) != locate.Untouched {
				there[ref] += p.P[t]
			}
		}
	}
	var out []Action
	for _, ref := range slices.Sorted(maps.Keys(chance)) {
		part, has := known[ref]
		if !has {
			part = Part{Ref: ref, Pins: 10} // not known: taken as dear
		}
		if chance[ref] < minSite || part.Heats > maxHeats || gone(p, ref) {
			continue
		}
		c := part.removal()
		out = append(out, Action{
			What: "remove", Part: ref, Site: -1, Probability: chance[ref], Minutes: c.minutes, DamageRisk: c.damage,
			Why: fmt.Sprintf("%s that the short is in, under or beside %s%s", ProbabilityText(there[ref]), ref,
				also(warn(part))),
			Care:  warn(part),
			stage: stageOf(part),
		})
	}
	return out
}

// stageOf puts what would be a third heat behind all else: it lifts pads.
func stageOf(q Part) int {
	if q.Heats >= maxHeats {
		return 2
	}
	return 1
}

// gone tells whether a part is off the board.
func gone(p *locate.Posterior, ref string) bool {
	off := false
	for _, f := range p.Case.Findings {
		if f.Part == ref {
			off = f.Done == "removed" || off && f.Done != "refitted" && f.Done != "replaced"
		}
	}
	return off
}

func warn(q Part) string {
	switch {
	case q.Heats >= maxHeats:
		return "its pads take no third heat: stop here"
	case q.Heats == maxHeats-1:
		return "the second heat on its pads: be quick"
	case q.BigTabs:
		return "big tabs: dear, let readings and looking rule it out first"
	case q.Ceramic:
		return "fit a new one, never the old"
	}
	return ""
}

// RemovalCare says in a sentence what the part needs when it comes off; "": nothing
// of its own.
func (q Part) RemovalCare() string {
	switch {
	case q.BigTabs:
		return "Its tabs sit on much copper: warm the board to 100 to 120 °C first, large tip, 5 to 10 s."
	case q.Ceramic:
		return "Fit a new one afterwards: a ceramic capacitor once off is never refitted."
	}
	return ""
}

// owners are the parts whose removal would bare the site.
func owners(s suspect.Site) []string {
	var out []string
	if s.Part != "" {
		out = append(out, s.Part)
	}
	for _, pin := range s.Near {
		if ref, _, _ := strings.Cut(pin, "."); ref != "" && !slices.Contains(out, ref) {
			out = append(out, ref)
		}
	}
	return out
}
