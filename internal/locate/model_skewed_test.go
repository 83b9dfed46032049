package locate

import (
	"math"
	"testing"

	"ohmward/geom"
	"ohmward/internal/check"
	"ohmward/internal/suspect"
)

// TestHandAgainstBruteForce: two places, three skewed touches of one null, the
// residue and Rs integrated by brute force on a fine grid. Laplace's method in
// the residue is approximate; it must be within a fiftieth in odds, and within
// 0.2 % of the log odds where those are long (20 nats, one in 5·10⁸).
func TestHandAgainstBruteForce(t *testing.T) {
	m, err := Profile("bench-6.5-digit-hand")
	if err != nil {
		t.Fatal(err)
	}
	m.PlacementM = 0
	sites := []suspect.Site{{Prior: 0.5}, {Prior: 0.5, A: geom.FromMM(9, 0), B: geom.FromMM(9, 0)}}
	c := [3][2]float64{{0.010, 0.022}, {0.025, 0.013}, {0.018, 0.017}}
	cases := [][3]float64{
		{0.020, 0.026, 0.024}, {0.0130, 0.0330, 0.0215}, {0.0301, 0.0290, 0.0252}, {0.012, 0.040, 0.020},
		{0.3, 0.308, 0.303},
	}
	cases = cases[:check.Draws(t, 2, len(cases), len(cases))]
	nr, nz := check.Draws(t, 600, 3000, 3000), check.Draws(t, 61, 161, 161)
	for _, ohms := range cases {
		cs := Case{Sites: sites, Meter: m}
		for k, y := range ohms {
			cs.Readings = append(cs.Readings, Reading{Ohms: y, D: 1, C: [][]float64{c[k][:]}})
		}
		p, err := Solve(cs)
		if err != nil {
			t.Fatal(err)
		}
		sum := func(s int) float64 {
			total := 0.0
			for i := range nr {
				r := bridgePrior.low * math.Exp((float64(i)+0.5)/float64(nr)*math.Log(bridgePrior.high/bridgePrior.low))
				for j := range nz {
					u := -6 + 12*float64(j)/float64(nz-1)
					l := -u * u / 2
					for k, rd := range cs.Readings {
						f, _, _ := newTouch(m.sigma(rd)).logf(ohms[k] - c[k][s] - r - u*m.NullOhms)
						l += f
					}
					total += bridgePrior.density(r) * math.Exp(l)
				}
			}
			return total
		}
		want := math.Log(sum(0) / sum(1))
		got := math.Log(p.P[0] / p.P[1])
		near(t, "log odds", got, want, 0.02+0.002*math.Abs(want))
	}
}

// TestTouchEntropy: in the limit of no Gaussian part the law is exponential,
// whose entropy is 1 in nats (elementary), a deviation of e/√(2πe) = 0.658 of
// a Gaussian's; with 0.4 of Gaussian part it lies between that and 1.
func TestTouchEntropy(t *testing.T) {
	if e := touchEntropy(); !(e > math.E/math.Sqrt(2*math.Pi*math.E) && e < 0.95) {
		t.Errorf("%g", e)
	} else {
		t.Logf("%.3f", e)
	}
	steady, held := Meter{NoiseOhms: 1e-3}, Meter{NoiseOhms: 1e-3, HandHeld: true}
	if steady.planned() != 1e-3 || held.planned() >= 1e-3 {
		t.Errorf("planned with %g steady, %g held", steady.planned(), held.planned())
	}
}

// TestQuickScore: the tables give the score itself, in the middle, in both
// tails and beyond them.
func TestQuickScore(t *testing.T) {
	touch := newTouch(3e-3)
	for x := -40.0; x < 100; x += 0.317 {
		near(t, "score", touch.tabulatedScore(3e-3*x), touch.score(3e-3*x), 2e-5)
	}
}
