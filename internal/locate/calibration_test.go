package locate

import (
	"math"
	"math/rand/v2"
	"sort"
	"testing"
)

// calibration draws faults from the prior, off the sample grid, and checks
// DESIGN.md's test: |hits - Σm| <= 2.5·√Σm(1-m).
func calibration(t *testing.T, name string, faults, readings int, m Meter, c Copper, four int) {
	t.Helper()
	n := newSynth(0.4)
	rng := rand.New(rand.NewPCG(11, 7))
	hits, claimed, spread := 0.0, 0.0, 0.0
	sure, allowed, allowedVar := 0.0, 0.0, 0.0
	bad := 0
	var errs, radii []float64
	for range faults {
		f := n.draw(rng, c, m)
		cs := Case{Sites: n.sites, Elsewhere: 0, Meter: m, Copper: c}
		for range readings {
			a := n.placesA[rng.IntN(len(n.placesA))]
			b := n.placesB[rng.IntN(len(n.placesB))]
			cs.Readings = append(cs.Readings, n.read(rng, f, m, a, b))
		}
		for range four {
			i, u, v := n.placesA[rng.IntN(len(n.placesA))], n.placesA[rng.IntN(len(n.placesA))],
				n.placesA[rng.IntN(len(n.placesA))]
			r := n.sense(i, u, v)
			r.Ohms = m.Draw(rng, f.factor[0]*n.transfer(i, u, v, f.at), true)
			cs.Readings = append(cs.Readings, r)
		}
		p, err := Solve(cs)
		if err != nil {
			t.Fatal(err)
		}
		x, y := cs.Sites[p.Best.Site].Mid()
		fx, fy := f.at.xy()
		d := math.Hypot(x-fx, y-fy)
		errs, radii = append(errs, d), append(radii, p.Best.RadiusMM)
		mass := p.Best.RadiusMass
		claimed += mass
		spread += mass * (1 - mass)
		inside := d <= p.Best.RadiusMM
		if inside {
			hits++
		}
		if q := p.Best.P; q > 0.99 {
			allowed += 1 - q
			allowedVar += q * (1 - q)
			if d > placeMM+0.2 {
				sure++
			}
		}
		if p.Fit.Verdict != OneShort {
			bad++
		}
	}
	sort.Float64s(errs)
	sort.Float64s(radii)
	k := len(errs)
	t.Logf("%s: hits %.0f claimed %.1f ± %.1f; error median %.2f p90 %.2f mm; radius median %.2f p90 %.2f mm; "+
		"bad fits %d; sure and wrong %.0f (allowed %.2f)",
		name, hits, claimed, math.Sqrt(spread), errs[k/2], errs[k*9/10], radii[k/2], radii[k*9/10], bad, sure,
		allowed)
	if math.Abs(hits-claimed) > 2.5*math.Sqrt(spread) {
		t.Errorf("%s: %0.f hits, claimed %.1f, allowed ±%.1f", name, hits, claimed, 2.5*math.Sqrt(spread))
	}
	if sure > allowed+3*math.Sqrt(allowedVar) {
		t.Errorf("%s: %.0f wrong answers given above 0.99, %.2f allowed", name, sure,
			allowed+3*math.Sqrt(allowedVar))
	}
	if float64(bad) > 0.01*float64(faults)+3 {
		t.Errorf("%s: %d of %d sound cases called bad", name, bad, faults)
	}
}

func TestCalibration(t *testing.T) {
	steady, _ := Profile("bench-6.5-digit")
	hand, _ := Profile("bench-6.5-digit-hand")
	one := Copper{Scale: 0.09}
	own := Copper{Scale: 0.05, Own: []float64{0.1, 0.1}}
	less := 1
	if testing.Short() {
		less = 5
	}
	calibration(t, "steady", 600/less, 5, steady, one, 0)
	calibration(t, "steady, two readings", 500/less, 2, steady, one, 0)
	calibration(t, "steady, layers apart", 400/less, 5, steady, own, 0)
	calibration(t, "with four-wire", 400/less, 3, steady, one, 3)
	calibration(t, "hand", 100/less, 6, hand, own, 0)
}
