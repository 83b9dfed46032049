package locate

import (
	"cmp"
	"math"
	"slices"

	"ohmward/internal/parallel"
)

// Two bridges at once. With x of the current through the bridge at s and 1-x
// through that at t, a two-wire reading dissipates
//
//	x·c(s) + (1-x)·c(t) - x(1-x)·loop(s,t) + x²·R1 + (1-x)²·R2,
//
// where c is the reading's coefficient for one bridge and loop the copper
// between the two contacts on net A plus that on net B. The current divides
// so that this is least (Thomson), and the least is the reading. Only loop is
// needed beside what one bridge needs. A four-wire reading is x·c(s) +
// (1-x)·c(t), x from the coefficients of its current contacts.

// twoBridge is a pair of sites with resistances and what it reads.
type twoBridge struct {
	at   [2]int
	ohms [2]float64
	chi2 float64
}

// divided is a two-wire reading's copper and bridges for both bridges closed.
func divided(cs, ct, loop, r1, r2 float64) float64 {
	if loop+r1+r2 <= 0 {
		return min(cs, ct)
	}
	x := share(cs, ct, loop, r1, r2)
	return x*cs + (1-x)*ct - x*(1-x)*loop + x*x*r1 + (1-x)*(1-x)*r2
}

// share is the part of the current that takes the bridge at s.
func share(cs, ct, loop, r1, r2 float64) float64 {
	d := 2 * (loop + r1 + r2)
	if d <= 0 {
		return 0.5
	}
	return min(1, max(0, (ct-cs+loop+2*r2)/d))
}

const (
	coarse          = 60 // places tried in pairs
	refined         = 6  // pairs worked out finely
	minPairReadings = 6  // readings: two places, two resistances, one to spare, one more
)

// rsCandidates is where the resistances of bridges are tried, ohms.
var rsCandidates = []float64{0.1e-3, 0.5e-3, 2e-3, 5e-3, 15e-3, 50e-3, 0.2, 1}

// both looks for the pair of bridges that fits best; ok is false where
// readings are too few or the copper between sites is not known.
func (p *Posterior) both() (best twoBridge, dof int, ok bool) {
	if p.Case.Loop == nil {
		return best, 0, false
	}
	m := newModel(p.Case, p.index, func(_ int, r Reading) bool {
		_, none := r.reached(len(p.Case.Sites))
		return !r.Skip && !r.open() && (!r.FourWire || p.Case.Drive != nil && r.Spread == 0) && !none
	})
	if len(m.readings) < minPairReadings {
		return best, 0, false
	}
	f := newPairFit(m, p.Case.Loop)
	for k, r := range m.readings {
		if r.FourWire && !r.SameNet {
			if f.drive[k] = p.Case.Drive(m.index[k]); len(f.drive[k]) != len(p.Case.Sites) {
				return best, 0, false
			}
		}
	}
	reps := p.representatives(coarse)
	found := make([]twoBridge, len(reps)*(len(reps)-1)/2)
	parallel.Workers(len(reps), 1, func() func(int) {
		own := f.fork()
		return func(i int) {
			for j, t := range reps[:i] {
				found[i*(i-1)/2+j] = own.resistances([2]int{reps[i], t}, rsCandidates)
			}
		}
	})
	compare := func(a, b twoBridge) int { return cmp.Compare(a.chi2, b.chi2) }
	slices.SortStableFunc(found, compare)
	some := found[:min(refined, len(found))]
	parallel.Workers(len(some), 1, func() func(int) {
		own := f.fork()
		return func(i int) { some[i] = own.refine(p, some[i]) }
	})
	if len(some) > 0 {
		best = slices.MinFunc(some, compare)
	}
	return best, max(len(m.readings)-4, 0), len(found) > 0
}

// representatives are sites spread over the plan, each the farthest from all
// before it, beginning with the first that findings allow.
func (p *Posterior) representatives(n int) []int {
	x, y := p.index.x, p.index.y
	apart := func(i, j int) float64 { return math.Hypot(x[i]-x[j], y[i]-y[j]) }
	return Farthest(p.possibleListed(), nil, n, apart)
}

// refine moves one site at a time to where the misfit is least, and the
// resistances by ever smaller factors.
func (f *pairFit) refine(p *Posterior, b twoBridge) twoBridge {
	for range 4 {
		before := b.chi2
		for side := range 2 {
			b = f.slide(p, b, side)
			b = f.tune(b)
		}
		if before-b.chi2 < 0.01 {
			break
		}
	}
	return b
}

// slide tries every allowed site for one of the two.
func (f *pairFit) slide(p *Posterior, b twoBridge, side int) twoBridge {
	best := b
	for _, s := range p.possibleListed() {
		c := b
		c.at[side] = s
		if c.at[0] == c.at[1] {
			continue
		}
		f.turn(c.at, f.loop(s, b.at[1-side]))
		if c.chi2 = f.misfit(c.ohms); c.chi2 < best.chi2 {
			best = c
		}
	}
	return best
}

// tune searches both resistances at fixed sites.
func (f *pairFit) tune(b twoBridge) twoBridge {
	f.turn(b.at, f.loop(b.at[0], b.at[1]))
	for factor := 3.0; factor > 1.01; factor = math.Sqrt(factor) {
		for again := true; again; {
			again = false
			for i := range 4 {
				c := b
				c.ohms[i/2] *= [2]float64{factor, 1 / factor}[i%2]
				if r := c.ohms[i/2]; r < bridgePrior.low || r > OpenOhms {
					continue
				}
				if c.chi2 = f.misfit(c.ohms); c.chi2 < b.chi2-1e-6 {
					b, again = c, true
				}
			}
		}
	}
	return b
}
