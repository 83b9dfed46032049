package locate

import (
	"math"
	"math/rand/v2"
	"testing"

	"ohmward/geom"
	"ohmward/internal/suspect"
)

// odd draws numbers that no bench gives, and some that it does.
func odd(rng *rand.Rand) float64 {
	switch rng.IntN(12) {
	case 0:
		return 0
	case 1:
		return math.NaN()
	case 2:
		return math.Inf(1)
	case 3:
		return 1e300
	case 4:
		return -1e-300
	case 5:
		return 9.9e37 // a meter's overload: REFERENCES F1
	case 6:
		return math.Exp(40 * rng.NormFloat64())
	}
	return math.Exp(-5 + 3*rng.NormFloat64())
}

// sane draws what a caller's own tables may hold.
func sane(rng *rand.Rand) float64 {
	if rng.IntN(200) == 0 {
		return odd(rng)
	}
	return math.Exp(-5 + 3*rng.NormFloat64())
}

func oddCase(rng *rand.Rand) Case {
	c := Case{Elsewhere: 0.03 * float64(rng.IntN(2))}
	n := 1 + rng.IntN(12)
	for i := range n {
		p := geom.FromMM(float64(i)*0.2, 3*rng.Float64())
		c.Sites = append(c.Sites, suspect.Site{
			Kind: suspect.Kind(rng.IntN(4)), A: p, B: p, Length: 0.2e-3 * float64(rng.IntN(2)),
			Prior: float64(rng.IntN(3)), Part: []string{"", "C7"}[rng.IntN(2)],
		})
	}
	m, _ := Profile(ProfileNames()[rng.IntN(2)])
	if rng.IntN(4) == 0 {
		m.NoiseOhms, m.NoiseFourWireOhms, m.NullOhms, m.ReadingFraction = sane(rng), 0, sane(rng), 0
	}
	c.Meter = m
	c.Copper = Copper{Scale: 0.09 * float64(rng.IntN(2)), Own: []float64{0, 0.1}}
	for range rng.IntN(7) {
		r := Reading{Ohms: sane(rng), FourWire: rng.IntN(3) == 0, Null: rng.IntN(2), Doubtful: rng.IntN(5) == 0,
			D: float64(rng.IntN(2))}
		if rng.IntN(4) == 0 {
			r.U = sane(rng)
		}
		if r.FourWire {
			r.D = 0
		}
		for range 1 + rng.IntN(2) {
			row := make([]float64, n)
			for i := range row {
				row[i] = sane(rng)
			}
			r.C = append(r.C, row)
		}
		c.Readings = append(c.Readings, r)
	}
	if rng.IntN(2) == 0 {
		c.Findings = []Finding{{Part: "C7", Done: Actions[rng.IntN(len(Actions))],
			Short: []string{"remains", "cleared"}[rng.IntN(2)]}}
	}
	return c
}

// TestAnythingGoes: whatever comes in, Solve gives an error or a posterior of
// finite numbers that sums to one; it never panics.
func TestAnythingGoes(t *testing.T) {
	solved := 0
	for seed := range uint64(1200) {
		rng := rand.New(rand.NewPCG(seed, 1))
		c := oddCase(rng)
		p, err := Solve(c)
		if err != nil {
			continue
		}
		solved++
		sum := p.Elsewhere
		for s, q := range p.P {
			sum += q
			r := p.Ohms[s]
			if math.IsNaN(r.Low+r.Median+r.High) || r.Low > r.Median || r.Median > r.High {
				t.Fatalf("seed %d: Rs range %+v", seed, r)
			}
		}
		if !(math.Abs(sum-1) < 1e-9) {
			t.Fatalf("seed %d: probabilities add to %g", seed, sum)
		}
		if math.IsNaN(p.Fit.Chi2+p.Fit.P+p.Best.RadiusMM+p.Best.RadiusMass) || math.IsInf(p.Fit.Chi2, 0) {
			t.Fatalf("seed %d: fit %+v, radius %g", seed, p.Fit, p.Best.RadiusMM)
		}
		plans(t, rng, p, seed)
	}
	if solved < 300 {
		t.Errorf("only %d cases were taken", solved)
	}
}

func plans(t *testing.T, rng *rand.Rand, p *Posterior, seed uint64) {
	var tab [2]Table
	for k := range tab {
		for range rng.IntN(4) {
			row := make([]float64, len(p.P))
			for i := range row {
				row[i] = math.Exp(-5 + 3*rng.NormFloat64())
			}
			tab[k].R = append(tab[k].R, row)
			tab[k].Probes = append(tab[k].Probes, Probe{ID: "x", Sides: Top, Reach: true})
		}
	}
	moves, err := p.Next(tab[0], tab[1], DefaultMoveCosts())
	if err != nil {
		t.Fatalf("seed %d: %v", seed, err)
	}
	for _, m := range moves {
		if math.IsNaN(m.Bits+m.Seconds+m.Low+m.High) || m.Bits > 20 {
			t.Fatalf("seed %d: move %+v", seed, m)
		}
	}
	p.Stop(moves)
}
