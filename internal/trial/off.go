package trial

import (
	"math"
	"slices"

	"ohmward/internal/practice"
	"ohmward/internal/suspect"
)

// Off-model trials (DESIGN, Location): the unit or the meter is not what the
// program assumes, and it is not told.

const (
	// foreignReach is how far, in metres, foreign metal may bridge (BENCH.md:
	// 5 mm), and unlistedMM how far from every suspect such a short lies.
	foreignReach = 5e-3
	unlistedMM   = 2.0
	thickCopper  = 50e-6 // metres, on the outer layers
	unsteadyLog  = 0.7   // deviation of ln Rs from touch to touch
	// A dry short is 5 mΩ to 5 Ω (BENCH.md).
	dryLow, dryHigh = 5e-3, 5.0
)

// draw says from where the faults are drawn.
func (t *trial) draw() practice.Draw {
	switch t.options.OffModel {
	case "shell":
		return practice.Draw{Bodies: t.shells(), Keep: func(s suspect.Site) bool { return s.Kind == suspect.Metal }}
	case "unlisted":
		return practice.Draw{Reach: foreignReach, Keep: t.unlisted}
	}
	// What the program leaves for places not listed must turn up as often.
	return practice.Draw{
		Other: &practice.Draw{Reach: foreignReach, Keep: t.unlisted}, Share: suspect.DefaultRates().Elsewhere,
	}
}

// unlisted tells whether a place lies far from all suspects.
func (t *trial) unlisted(s suspect.Site) bool {
	if s.Kind == suspect.Part {
		return false
	}
	x, y := s.Mid()
	return !slices.ContainsFunc(t.Listed(), func(q suspect.Site) bool {
		u, v := q.Mid()
		return math.Hypot(u-x, v-y) < unlistedMM
	})
}

// shells are the bodies of parts with more than two pads, as far as they are
// soldered to one of the two groups.
func (t *trial) shells() (out []suspect.Body) {
	for _, p := range t.Layout.Parts {
		if len(p.Pads) <= 2 || p.Ref == "" {
			continue
		}
		for g := range t.Groups {
			if slices.ContainsFunc(p.Pads, func(i int) bool { return t.GroupOfNet(t.Nets.PadNet(i)) == g }) {
				out = append(out, suspect.Body{Part: p.Ref, Group: g})
				break // a body is on one net only
			}
		}
	}
	return out
}

// depart changes the unit as the off-model case has it.
func (t *trial) depart(b *bencher) {
	switch t.options.OffModel {
	case "copper":
		for _, l := range slices.Compact([]int{0, len(t.Layout.Layers) - 1}) { // the outer ones
			b.copper.Layer[l] *= thickCopper / float64(t.Layout.Stack.Copper[l])
		}
	case "unsteady":
		b.fault.Ohms = dryLow * math.Pow(dryHigh/dryLow, b.rng.Float64())
	case "slip":
		b.slips = b.rng.IntN(3)
	}
}

// shortOhms is the short's own resistance at this touch.
func (b *bencher) shortOhms() float64 {
	if b.options.OffModel == "unsteady" {
		return b.fault.Ohms * math.Exp(unsteadyLog*b.rng.NormFloat64())
	}
	return b.fault.Ohms
}

// slip puts one tip, once in the first three readings, on the place beside the
// one that was meant.
func (b *bencher) slip(at, groups []int) []int {
	if b.options.OffModel != "slip" || b.taken != b.slips {
		return at
	}
	k := b.rng.IntN(len(at))
	at[k] = b.nearestProbe(groups[k], b.Probes[groups[k]][at[k]].At, at[k])
	return at
}
