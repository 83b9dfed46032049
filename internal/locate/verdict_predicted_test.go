package locate

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestPredictedByHand: what is predicted of a reading is what a meter would show
// on average, also with tips held by hand, which add resistance and never take
// any away.
func TestPredictedByHand(t *testing.T) {
	for _, profile := range []string{"bench-6.5-digit-hand", "bench-6.5-digit"} {
		m, err := Profile(profile)
		if err != nil {
			t.Fatal(err)
		}
		const short, n = 30.0, 40
		rng := rand.New(rand.NewPCG(1, 7))
		var at, ohms []float64
		for k := range n {
			x := 1 + 58*float64(k)/n
			true0 := 0.98e-3*math.Abs(short-x) + 0.5e-3/math.Pi*math.Acosh(math.Max(1, math.Abs(short-x)/0.3)) + 2e-3
			at, ohms = append(at, x), append(ohms, m.Draw(rng, true0, false))
		}
		p, err := Solve(supplyTrack(t, at, ohms, m))
		if err != nil {
			t.Fatal(err)
		}
		sum, sigma := 0.0, m.sigma(Reading{Ohms: 0.02})
		for k, v := range p.Fit.Predicted {
			sum += ohms[k] - v
		}
		if off := sum / n / sigma; math.Abs(off) > 3/math.Sqrt(n) {
			t.Errorf("%s: %d readings lie %.2f deviations off what is predicted, on average", profile, n, off)
		}
	}
}
