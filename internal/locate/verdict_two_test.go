package locate

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestDivided against the textbook: two equal paths halve, one broken path
// leaves the other, and the unbalanced bridge of REFERENCES B27 (170/71).
func TestDivided(t *testing.T) {
	// Two separate paths of 1 and 3 ohms in parallel: no shared copper, so
	// the loop is their sum less the bridges.
	near(t, "parallel", divided(0.5, 2, 2.5, 0.5, 1), 0.75, 1e-12)
	near(t, "far one open", divided(1, 1, 2, 0.5, 1e9), 1.5, 1e-8)
	// B27: A-1-P, A-2-Q, P-3-B, Q-4-B, P-5-Q. Cut P-B (3) and Q-B (4) as the
	// two bridges between net {A,P,Q} and net {B}.
	star := 1 + 2 + 5.0
	near(t, "B27", divided(1*(2+5)/star, 2*(1+5)/star, 5*(1+2)/star, 3, 4), 170.0/71, 1e-12)
}

// TestTwoShorts: two bridges on the synthetic network are called more than
// one, and the two places are found.
func TestTwoShorts(t *testing.T) {
	n := newSynth(0.8)
	m, _ := Profile("bench-6.5-digit")
	rng := rand.New(rand.NewPCG(2, 9))
	between := func(a, b spot) float64 {
		x, y := b.xy()
		return n.track(a, b) + n.plane([2]float64{x, y}, a)
	}
	c := Case{Sites: n.sites, Elsewhere: 0.03, Meter: m, Copper: Copper{Scale: 0.03}}
	c.Loop = func(s, t int) float64 { return between(n.spotOf(s), n.spotOf(t)) }
	one, two := spot{0, 8.2}, spot{2, 14.6}
	for i := range 12 {
		a, b := n.placesA[(i*2+i/8)%len(n.placesA)], n.placesB[(5*i)%len(n.placesB)]
		r := n.across(a, b)
		v := divided(n.track(a, one)+n.plane(b, one), n.track(a, two)+n.plane(b, two), between(one, two), 0.004,
			0.002)
		r.Ohms = m.Draw(rng, v, false)
		c.Readings = append(c.Readings, r)
	}
	p, err := Solve(c)
	if err != nil {
		t.Fatal(err)
	}
	if p.Fit.Verdict != MoreThanOne {
		t.Fatalf("verdict %q (%s), p %.2g", p.Fit.Verdict, p.Fit.Why, p.Fit.P)
	}
	a, b := n.spotOf(p.Fit.Two[0]), n.spotOf(p.Fit.Two[1])
	d := math.Min(math.Max(trackMM(a, one), trackMM(b, two)), math.Max(trackMM(a, two), trackMM(b, one)))
	if d > 3 {
		t.Errorf("found %+v and %+v, want %+v and %+v", a, b, one, two)
	}
	t.Logf("within %.2f mm", d)
}

// TestMisfitOfPairs: the misfit of two bridges by elimination is that of the
// whole matrix, with several nulls, offsets of four-wire set-ups, readings of
// one net and touches held by hand.
func TestMisfitOfPairs(t *testing.T) {
	n := newSynth(2)
	rng := rand.New(rand.NewPCG(3, 14))
	for _, hand := range []bool{false, true} {
		m := Meter{NoiseOhms: 3e-4, NoiseFourWireOhms: 2e-5, ReadingFraction: 5e-4, NullOhms: 5e-4,
			PlacementM: 1e-4, HandHeld: hand, Spec: Spec{OffsetOhms: 1e-5}}
		c := Case{Sites: n.sites, Elsewhere: 0.03, Meter: m, Copper: Copper{Scale: 0.05, Own: []float64{0.1},
			Model: 2e-3}}
		for i := range 9 {
			r := n.across(n.placesA[i%5], n.placesB[(i*3)%7])
			switch {
			case i >= 6:
				r = n.sense(n.placesA[i-5], n.placesA[i-3], n.placesA[i-1])
				r.Setup, r.SameNet = i/8, i == 7
			default:
				r.Null, r.Slope = i/2, []float64{1e-2}
			}
			if i == 3 {
				r.Touches = []float64{0.02, 0.021, 0.02}
			}
			r.Ohms = 0.02 + 0.002*rng.Float64()
			c.Readings = append(c.Readings, r)
		}
		f := newPairFit(newModel(c, NewSiteIndex(n.sites), func(int, Reading) bool { return true }),
			func(s, t int) float64 { return 0.02 })
		for k, r := range c.Readings {
			if r.FourWire && !r.SameNet {
				f.drive[k] = make([]float64, len(n.sites))
				for s := range f.drive[k] {
					f.drive[k][s] = 0.03 * rng.Float64()
				}
			}
		}
		for range 200 {
			s, u := rng.IntN(len(n.sites)), rng.IntN(len(n.sites))
			r1, r2 := math.Exp(-9*rng.Float64()), math.Exp(-9*rng.Float64())
			f.turn([2]int{s, u}, f.loop(s, u))
			got, want := f.misfit([2]float64{r1, r2}), wholeMisfit(f, s, u, r1, r2)
			near(t, "misfit", got, want, 1e-7*(1+want))
		}
	}
}

// wholeMisfit is misfit with the matrix of all unknowns.
func wholeMisfit(f *pairFit, s, u int, r1, r2 float64) float64 {
	m := f.m
	w := m.newWorkspace()
	for k, r := range m.readings {
		c, rest := r.Predict(s), 0.0
		switch {
		case f.drive[k] != nil:
			x := share(f.drive[k][s], f.drive[k][u], f.loop(s, u), r1, r2)
			c = x*c + (1-x)*r.Predict(u)
		case r.D != 0:
			c = divided(c, r.Predict(u), f.loop(s, u), r1, r2)
			rest = math.Min(r1*r2/(r1+r2), c)
		}
		fixed, grows := m.variance(k, s)
		w.c[k], w.sd[k] = c, math.Sqrt(fixed+grows*c*c)
		row := w.u[k*m.cols : (k+1)*m.cols]
		row[0] = m.copper.Scale * (c - rest)
		if !r.FourWire {
			row[m.lead[leadKey{false, r.Null}]] = m.meter.NullOhms
		} else if v := m.meter.offset(r); v > 0 {
			row[m.lead[leadKey{true, r.Setup}]] = v
		}
		if m.meter.skewed(r) {
			w.touches[k] = newTouch(w.sd[k])
		}
	}
	return m.gaussianFit(w).a
}
