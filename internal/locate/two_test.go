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
		v := divided(n.track(a, one)+n.plane(b, one), n.track(a, two)+n.plane(b, two), between(one, two), 0.004, 0.002)
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
