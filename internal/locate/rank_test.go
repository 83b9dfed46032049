package locate

import (
	"math/rand/v2"
	"testing"
)

// TestRanks is simulation-based calibration (Talts et al. 2018, from memory):
// faults and readings drawn from the prior must find the truth's rank in the
// posterior uniform, along the copper and in Rs. Ranks below bins' edges are
// compared with chi-square; 27.9 is exceeded once in a thousand. Samples are
// finer than the readings tell apart: on coarser ones, where two neighbours
// share a truth between them, ranks crowd in the middle (too wide, not too
// narrow).
func TestRanks(t *testing.T) {
	steady, _ := Profile("bench-6.5-digit")
	hand, _ := Profile("bench-6.5-digit-hand")
	copper := Copper{Scale: 0.05, Own: []float64{0.1, 0.1}}
	faults := 500
	if testing.Short() {
		faults = 80
	}
	ranks(t, "steady", 0.1, steady, copper, faults)
	ranks(t, "hand", 0.4, hand, copper, faults/4)
}

func ranks(t *testing.T, name string, step float64, m Meter, c Copper, faults int) {
	const bins, readings = 10, 4
	const limit = 27.9
	n := newSynth(step)
	rng := rand.New(rand.NewPCG(19, 23))
	var along, ohms [bins]int
	for range faults {
		f := n.draw(rng, c, m)
		cs := Case{Sites: n.sites, Meter: m, Copper: c}
		for range readings {
			a, b := n.placesA[rng.IntN(len(n.placesA))], n.placesB[rng.IntN(len(n.placesB))]
			cs.Readings = append(cs.Readings, n.read(rng, f, m, a, b))
		}
		p, err := Solve(cs)
		if err != nil {
			t.Fatal(err)
		}
		along[binOf(n.below(p, f.at), bins)]++
		ohms[binOf(p.rsBelow(f.rs), bins)]++
	}
	for what, count := range map[string][bins]int{"place": along, "Rs": ohms} {
		chi2, mean := 0.0, float64(faults)/bins
		for _, k := range count {
			chi2 += (float64(k) - mean) * (float64(k) - mean) / mean
		}
		t.Logf("%s, %s: ranks %v, chi-square %.1f", name, what, count, chi2)
		if chi2 > limit {
			t.Errorf("%s: the ranks of the %s are not uniform: %v, chi-square %.1f for %d", name, what, count, chi2,
				bins-1)
		}
	}
}

func binOf(q float64, bins int) int { return min(int(q*float64(bins)), bins-1) }

// below is the posterior chance of lying before a spot: branch by branch, and
// within the spot's own sample by length.
func (n *synth) below(p *Posterior, at spot) float64 {
	sum := 0.0
	for s, q := range p.P {
		own := n.spotOf(s)
		half := n.sites[s].Length * 1e3 / 2
		switch {
		case own.branch < at.branch, own.branch == at.branch && own.t+half <= at.t:
			sum += q
		case own.branch == at.branch && own.t-half < at.t:
			sum += q * (at.t - own.t + half) / (2 * half)
		}
	}
	return sum
}

// rsBelow is the posterior chance of Rs being less than r ohms.
func (p *Posterior) rsBelow(r float64) float64 {
	sum := 0.0
	w := p.model.newWorkspace()
	for s, q := range p.P {
		if q < 1e-6 {
			continue
		}
		p.model.fit(s, w, p.model.anySkewed(), gridFit)
		for i, x := range w.rs {
			if x < r {
				sum += q * w.chance[i]
			} else if i > 0 {
				sum += q * w.chance[i] * max(0, (r-w.rs[i-1])/(x-w.rs[i-1]))
				break
			}
		}
	}
	return sum
}
