package bench

import (
	"fmt"
	"slices"

	"ohmward/internal/locate"
	"ohmward/internal/repair"
	"ohmward/internal/suspect"
	"ohmward/unit"
)

// Test is something to do that is no reading and says where the short is.
type Test struct {
	Kind    string  `json:"kind"` // "split", "look" or "warm"
	Part    string  `json:"part,omitempty"`
	Place   string  `json:"place,omitempty"` // as a case file takes it
	Bits    float64 `json:"bits"`            // expected information about the site
	Seconds float64 `json:"seconds"`
	Why     string  `json:"why"`
}

// What tests take, in seconds: common practice, no source.
const (
	splitSeconds = 240.0 // lift a bead or link, cool, read again
	lookSeconds  = 60.0  // loupe, mirror, light from the side
	warmSeconds  = 45.0  // touch, warm, watch the reading
	leastBits    = 0.02
	mostTests    = 4
)

// tests lists tests worth doing, most information per second first.
func (w *work) tests(post *locate.Posterior) []Test {
	out := []Test{}
	if len(post.Places) == 0 || len(w.readings) == 0 || post.Fit.Verdict == locate.NotShort {
		return out
	}
	all := append(w.splits(post), append(w.lookAts(post), w.warmings(post)...)...)
	for _, t := range all {
		if t.Bits >= leastBits {
			out = append(out, t)
		}
	}
	slices.SortStableFunc(out, func(a, b Test) int { return byRate(a.Bits/a.Seconds, b.Bits/b.Seconds) })
	return out[:min(len(out), mostTests)]
}

// splits are beads, links and fuses that can be opened.
func (w *work) splits(post *locate.Posterior) []Test {
	var out []Test
	for g, links := range w.links {
		for _, l := range links {
			far := w.beyond(g, l.Part)
			if far == nil || w.isOpen(l.Part) {
				continue
			}
			share := 0.0
			for i, f := range far {
				if f {
					share += post.P[i]
				}
			}
			ask := func(short string) locate.Finding {
				return locate.Finding{AfterReading: len(post.Case.Readings), Part: l.Part, Done: "split", Short: short, Far: far}
			}
			out = append(out, Test{
				Kind: "split", Part: l.Part, Seconds: splitSeconds,
				Bits: post.Worth([]locate.Finding{ask("remains"), ask("open")}),
				Why:  fmt.Sprintf("lift one end of %s: %.0f %% of the probability lies beyond it", l.Part, 100*share),
			})
		}
	}
	return out
}

func (w *work) isOpen(part string) bool {
	open := false
	for _, f := range w.findings {
		if f.Part == part {
			open = slices.Contains(openers, f.Done) || open && !slices.Contains(closers, f.Done)
		}
	}
	return open
}

// beyond tells of each site whether it lies on nets of the group that only
// one low-ohm part joins to the named one; nil where there are none.
func (s *session) beyond(g int, part string) []bool {
	joined := []int{s.groups[g][0]}
	for grown := true; grown; {
		grown = false
		for _, l := range s.links[g] {
			a, b := s.netOfPad(l.A), s.netOfPad(l.B)
			inA, inB := slices.Contains(joined, a), slices.Contains(joined, b)
			if l.Part != part && inA != inB {
				joined = append(joined, a, b)
				grown = true
			}
		}
	}
	far, any := make([]bool, len(s.sites)), false
	for _, n := range s.groups[g] {
		if slices.Contains(joined, n) {
			continue
		}
		for i, site := range s.sites {
			layer, at := site.LayerA, site.A
			if g == 1 {
				layer, at = site.LayerB, site.B
			}
			if s.nets.Copper(n, layer).Contains(at) {
				far[i], any = true, true
			}
		}
	}
	if !any {
		return nil
	}
	return far
}

func (s *session) netOfPad(pad int) int {
	for _, nets := range s.groups {
		for _, n := range nets {
			if slices.Contains(s.nets.Nets[n].Pads, pad) {
				return n
			}
		}
	}
	return -1
}

// likely is how many places a person would look at or warm.
const likely = 4

// apart gives the likeliest places, no two so near that one look or one warm
// spot takes in both.
func (w *work) apart(post *locate.Posterior) (out []locate.Place) {
	for _, pl := range post.Places {
		at := w.sites[pl.Site].A
		near := slices.ContainsFunc(out, func(q locate.Place) bool {
			return distanceMM(w.sites[q.Site].A, at) < warmRadius*1e3
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
func (w *work) lookAts(post *locate.Posterior) []Test {
	var out []Test
	for _, pl := range w.apart(post) {
		s := w.sites[pl.Site]
		f := locate.Finding{AfterReading: len(post.Case.Readings), Done: "looked", HasPlace: true}
		f.X, f.Y = s.Mid()
		yes, no := f, f
		yes.Seen, no.Seen = "bridge", "nothing"
		out = append(out, Test{
			Kind: "look", Part: partOf(s), Place: w.siteText(s), Seconds: lookSeconds,
			Bits: post.Worth([]locate.Finding{yes, no}),
			Why:  fmt.Sprintf("%s that the short is at %s", repair.Sure(pl.P), locate.Name(s)),
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
func (w *work) siteText(s suspect.Site) string {
	x, y := s.A.MM()
	return fmt.Sprintf("L%d@%.3f,%.3f", s.LayerA+1, x, y)
}

// warmings are spots at the likeliest places, watched by the last reading.
func (w *work) warmings(post *locate.Posterior) []Test {
	last := len(w.taken) - 1
	if last < 0 {
		return nil
	}
	u := w.meter.NoiseOhms * heldTouch
	if w.taken[last].fourWire {
		u = w.meter.NoiseFourWireOhms
	}
	var out []Test
	heavy := post.Heavy() // all that WorthOf asks about
	for _, pl := range w.apart(post) {
		s := w.sites[pl.Site]
		sites := heavy
		if !slices.Contains(heavy, pl.Site) {
			sites = append(slices.Clone(heavy), pl.Site)
		}
		share, err := w.solver.within(w.fourContacts(w.taken[last]), s.LayerA, s.A, warmRadius, sites)
		if err != nil {
			continue
		}
		for i := range share {
			share[i] *= copperAlpha / unit.CopperFactor(w.material.Temp) * warmedBy
		}
		out = append(out, Test{
			Kind: "warm", Place: w.siteText(s), Seconds: warmSeconds, Bits: post.WorthOf(share, u, warmSpread),
			Why: fmt.Sprintf("watch reading %d while it warms by %.0f K: it rises by %v if the current runs there", last+1, warmedBy, unit.Resistance(share[pl.Site])),
		})
	}
	return out
}
