package locate

import (
	"strings"
	"testing"

	"ohmward/geom"
	"ohmward/internal/suspect"
)

// TestStop: as many unknowns as readings is not enough; a radius that one look
// takes in is; a likely unlisted place is not.
func TestStop(t *testing.T) {
	sure := func() *Posterior {
		c := supplyTrack(t, []float64{5, 20, 45, 55, 0}, fiveAtNine(), Meter{NoiseOhms: 0.1e-3, NullOhms: 0.1e-3})
		p, err := Solve(c)
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	moves := []Move{{Bits: 0.5, Seconds: 17}}
	p := sure()
	if p.Best.RadiusMM > enoughMM {
		t.Fatalf("radius %.2f mm", p.Best.RadiusMM)
	}
	if a := p.Stop(moves); !a.Enough {
		t.Errorf("found, yet: %s", a.Why)
	}
	p.Elsewhere = 0.3
	if a := p.Stop(moves); a.Enough || !strings.Contains(a.Why, "not on the list") {
		t.Errorf("elsewhere at 0.3: %+v", a)
	}
	c := supplyTrack(t, []float64{5, 20}, []float64{0.0076, 0.0156}, Meter{NoiseOhms: 0.1e-3})
	q, err := Solve(c)
	if err != nil {
		t.Fatal(err)
	}
	if a := q.Stop(moves); a.Enough {
		t.Errorf("two readings: %+v", a)
	}
	if a := q.Stop(nil); !a.Enough {
		t.Errorf("nothing left to touch: %+v", a)
	}
}

// TestNoReading: with no reading that sees the short there is no verdict on the short,
// and nothing is said to be found, however sure the prior is.
func TestNoReading(t *testing.T) {
	for name, skip := range map[string]bool{"none taken": false, "all left out": true} {
		c := supplyTrack(t, []float64{5, 20}, []float64{0.0076, 0.0156}, Meter{NoiseOhms: 0.1e-3})
		if !skip {
			c.Readings = nil
		}
		for i := range c.Readings {
			c.Readings[i].Skip = true
		}
		c.Findings = []Finding{{Done: "looked", Seen: "bridge", HasPlace: true, X: 9}}
		p, err := Solve(c)
		if err != nil {
			t.Fatal(err)
		}
		if p.Fit.Verdict != NoReading || (p.Fit.Why == "") == skip || p.Fit.Worst >= 0 {
			t.Errorf("%s: %+v", name, p.Fit)
		}
		if a := p.Stop([]Move{{Bits: 0.5, Seconds: 17}}); a.Enough || strings.Contains(a.Why, "chances") {
			t.Errorf("%s: %+v", name, a)
		}
		if a := p.Stop(nil); strings.Contains(a.Why, "chances") {
			t.Errorf("%s, nothing left to touch: %+v", name, a)
		}
	}
}

// TestCount: places beyond the list are counted too.
func TestCount(t *testing.T) {
	c := supplyTrack(t, []float64{5, 20}, []float64{0.0076, 0.0156}, Meter{NoiseOhms: 0.1e-3})
	c.Readings = nil
	c.Sites = nil
	for i := range 3 * listed {
		c.Sites = append(c.Sites, suspect.Site{A: geom.FromMM(3*float64(i), 0), B: geom.FromMM(3*float64(i), 0.2),
			Length: 1e-4, Cluster: i, Prior: 1 / float64(3*listed)})
	}
	c.Elsewhere, c.Index = 0, nil
	p, err := Solve(c)
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Places) != listed || p.Count < 29*listed/10 || p.Count > 3*listed {
		t.Errorf("%d listed, %d counted of %d", len(p.Places), p.Count, 3*listed)
	}
}

// fiveAtNine is a short of 3 mΩ at 9 mm on the supply track, at 0.98 mΩ/mm and the
// ground's logarithm, for places at 5, 20, 45, 55 and 0 mm.
func fiveAtNine() []float64 {
	return []float64{0.007442, 0.014464, 0.039152, 0.048991, 0.012472}
}
