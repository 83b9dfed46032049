package locate

import (
	"math"

	"ohmward/internal/suspect"
)

// The chances of findings. All common practice, no source, except where
// package-level comments say otherwise; what matters is their ratio from
// place to place.
const (
	falsePositive = 0.005 // something like a bridge, or a warm spot, seen where the short is not
	bodyCommon    = 0.5   // a part so named has a metal body, fault or no fault
	dryTouched    = 0.3   // an action at the short changes its resistance
	dryApart      = 0.05  // an action elsewhere does: heat and flexing reach further
	hotWideMM     = 3.0   // standard deviation of where a warm spot is seen
	hotSeen       = 0.5   // the warmest spot seen is the short, not a thin track
	wholeLooked   = 0.3   // of what a loupe at one place would show, a look at all shows
)

// likelihood is the finding's chance if the short is at site i.
func (f Finding) likelihood(i int, s suspect.Site) float64 {
	if f.Uninformative() != "" {
		return 1
	}
	if f.Done == "looked" {
		p := f.sight(s)
		if f.Short != "" { // what was read after it counts by itself
			return p * outcome01(f.Short, 0.01)
		}
		return p
	}
	if f.Disconnected != nil && f.Disconnected[i] {
		switch f.Short {
		case "cleared", "open":
			return 1 - slippedLead
		}
		return wrongNote
	}
	if f.Short == "changed" {
		return choose(f.Relation(s) == Untouched, dryApart, dryTouched)
	}
	return outcome01(f.Short, ClearChance(f.Done, f.Relation(s), s))
}

// outcome01 is the chance of an outcome where the action clears the short with
// chance p.
func outcome01(short string, p float64) float64 {
	switch short {
	case "cleared":
		return p
	case "open":
		return p + (1-p)*slippedLead
	case "remains":
		return 1 - p
	}
	return 1
}

// sight is the chance of what was seen.
func (f Finding) sight(s suspect.Site) float64 {
	relation := f.Relation(s)
	p := 0.0
	if relation != Untouched {
		p = ClearChance("looked", relation, s)
	}
	switch f.Seen {
	case "bridge":
		if f.settles() {
			return f.settled(s)
		}
		return math.Max(p, falsePositive)
	case "metal": // a short at the body needs it there
		return choose(s.Kind == suspect.Metal && relation == Inside, 1, bodyCommon)
	case "no metal":
		return choose(s.Kind == suspect.Metal && relation == Inside, falsePositive, 1-bodyCommon)
	case "warm":
		return f.warm(s)
	}
	if f.Part == "" && !f.HasPlace {
		p *= wholeLooked
	}
	return 1 - p
}

// warm is the density, against that of a spot anywhere, of the warm spot being
// seen where it was.
func (f Finding) warm(s suspect.Site) float64 {
	if !f.HasPlace {
		return choose(f.Relation(s) == Untouched, 1-hotSeen, 1+hotSeen)
	}
	x, y := s.Mid()
	d := math.Hypot(x-f.X, y-f.Y) / hotWideMM
	return 1 - hotSeen + 10*hotSeen*math.Exp(-d*d/2)
}

// elsewhere is its chance if the short is at no listed place: an accident or
// something near that the list does not know.
func (f Finding) elsewhere() float64 {
	switch {
	case f.Uninformative() != "":
		return 1
	case f.Done == "looked" && f.Seen == "bridge":
		return 0.05 // one more place that the list does not know
	case f.Done == "looked" && f.Seen == "metal":
		return bodyCommon
	case f.Done == "looked" && f.Seen == "no metal":
		return 1 - bodyCommon
	case f.Done == "looked":
		return 0.9
	case f.Disconnected != nil:
		return 0.5
	case f.Short == "changed":
		return dryApart
	case f.Short == "cleared", f.Short == "open":
		return 0.1
	}
	return 0.9
}

// Uncovered gives the site as it lies after the first n findings: under a part
// that was taken off nothing is hidden.
func (c Case) Uncovered(s suspect.Site, n int) suspect.Site {
	if !s.Hidden {
		return s
	}
	for _, f := range c.Findings[:n] {
		off := f.Done == "removed" && f.Part != "" && f.Relation(s) != Untouched
		back := (f.Done == "refitted" || f.Done == "replaced") && f.Relation(s) != Untouched
		if off {
			s.Hidden = false
		} else if back {
			s.Hidden = true
		}
	}
	return s
}
