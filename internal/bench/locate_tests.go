package bench

import (
	"fmt"
	"slices"

	"ohmward/internal/answer"
	"ohmward/internal/engine"
	"ohmward/internal/locate"
	"ohmward/internal/repair"
	"ohmward/internal/suspect"
	"ohmward/unit"
)

// What tests take, in seconds: common practice, no source.
const (
	splitSeconds = 240.0 // lift a bead or link, cool, read again
	lookSeconds  = 60.0  // loupe, mirror, light from the side
	warmSeconds  = 45.0  // touch, warm, watch the reading
	leastBits    = 0.02
	mostTests    = 4
)

// tests lists tests worth doing, most information per second first.
func tests(w *engine.Locator, post *locate.Posterior) []answer.Test {
	out := []answer.Test{}
	if !pointing(post) {
		return out
	}
	all := append(Splits(w, post), append(lookAts(w, post), warmings(w, post)...)...)
	for _, t := range all {
		if t.Bits >= leastBits {
			out = append(out, t)
		}
	}
	slices.SortStableFunc(out, func(a, b answer.Test) int {
		return answer.ByRate(a.Bits/a.Seconds, b.Bits/b.Seconds)
	})
	return out[:min(len(out), mostTests)]
}

// Splits are beads, links and fuses that can be opened.
func Splits(w *engine.Locator, post *locate.Posterior) []answer.Test {
	var out []answer.Test
	for g, links := range w.Links {
		for _, l := range links {
			beyond := w.Beyond(g, l.Part)
			if beyond == nil || w.IsOpen(l.Part) {
				continue
			}
			share := 0.0
			for i, f := range beyond {
				if f {
					share += post.P[i]
				}
			}
			ask := func(short string) locate.Finding {
				return locate.Finding{AfterReading: len(post.Case.Readings), Part: l.Part, Done: "split", Short: short,
					Disconnected: beyond}
			}
			out = append(out, answer.Test{
				Kind: "split", Part: l.Part, Seconds: splitSeconds,
				Bits:   post.ExpectedInformation([]locate.Finding{ask("remains"), ask("open")}),
				Why:    fmt.Sprintf("lift one end of %s: %.0f %% of the probability lies beyond it", l.Part, 100*share),
				Chance: share,
			})
		}
	}
	return out
}

// likely is how many places a person would look at or warm.
const likely = 4

// apart gives the likeliest places, no two so near that one look or one warm
// spot takes in both.
func apart(w *engine.Locator, post *locate.Posterior) (out []locate.Place) {
	for _, pl := range post.Places {
		at := w.Sites[pl.Site].A
		near := slices.ContainsFunc(out, func(q locate.Place) bool {
			return engine.DistanceMM(w.Sites[q.Site].A, at) < engine.WarmRadius*1e3
		})
		if !near {
			out = append(out, pl)
		}
		if len(out) == likely {
			break
		}
	}
	return out
}

// lookAts are looks at the likeliest places.
func lookAts(w *engine.Locator, post *locate.Posterior) []answer.Test {
	var out []answer.Test
	for _, pl := range apart(w, post) {
		s := w.Sites[pl.Site]
		f := locate.Finding{AfterReading: len(post.Case.Readings), Done: "looked", HasPlace: true}
		f.X, f.Y = s.Mid()
		yes, no := f, f
		yes.Seen, no.Seen = "bridge", "nothing"
		out = append(out, answer.Test{
			Kind: "look", Part: partOf(s), Place: siteText(w, s), Seconds: lookSeconds,
			Bits: post.ExpectedInformation([]locate.Finding{yes, no}),
			Why:  fmt.Sprintf("%s that the short is at %s", repair.ProbabilityText(pl.P), locate.Name(s)),
		})
	}
	return out
}

func partOf(s suspect.Site) string {
	if s.Kind == suspect.Part || s.Kind == suspect.Metal {
		return s.Part
	}
	return ""
}

// siteText writes a site's contact on the first net as a case file takes it.
func siteText(w *engine.Locator, s suspect.Site) string {
	x, y := s.A.MM()
	return fmt.Sprintf("L%d@%.3f,%.3f", s.LayerA+1, x, y)
}

// warmings are spots at the likeliest places, watched by the last reading.
func warmings(w *engine.Locator, post *locate.Posterior) []answer.Test {
	last := len(w.Taken) - 1
	if last < 0 {
		return nil
	}
	u := w.Meter.NoiseOhms * engine.HeldTouch
	if w.Taken[last].FourWire {
		u = w.Meter.NoiseFourWireOhms
	}
	var out []answer.Test
	heavy := post.ProbableSites() // all that WorthOf asks about
	for _, pl := range apart(w, post) {
		s := w.Sites[pl.Site]
		sites := heavy
		if !slices.Contains(heavy, pl.Site) {
			sites = append(slices.Clone(heavy), pl.Site)
		}
		share, err := w.Solver.Within(w.FourContacts(w.Taken[last]), s.LayerA, s.A, engine.WarmRadius, sites)
		if err != nil {
			continue
		}
		for i := range share {
			share[i] *= engine.CopperAlpha / unit.CopperFactor(w.Material.Temp) * engine.WarmedBy
		}
		out = append(out, answer.Test{
			Kind: "warm", Place: siteText(w, s), Seconds: warmSeconds,
			Bits: post.MeasurementInformation(share, u, engine.WarmSpread),
			Why: fmt.Sprintf("watch reading %d while it warms by %.0f K: it rises by %v if the current runs there",
				last+1, engine.WarmedBy, unit.Resistance(share[pl.Site])),
		})
	}
	return out
}
