package locate

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"ohmward/geom"
	"ohmward/internal/suspect"
)

// supplyTrack is one supply track of 0.98 mΩ/mm with a solid ground return
// beside it, places every 5 mm to touch track and ground together.
func supplyTrack(t *testing.T, at []float64, ohms []float64, m Meter) Case {
	t.Helper()
	c := Case{Elsewhere: 0.03, Meter: m, Copper: Copper{Scale: 0.09}}
	for x := 0.1; x < 60; x += 0.2 {
		p := geom.FromMM(x, 0)
		c.Sites = append(c.Sites, suspect.Site{A: p, B: p, Length: 0.2e-3, Prior: 0.97 / 300})
	}
	for k, x := range at {
		track, plane := make([]float64, len(c.Sites)), make([]float64, len(c.Sites))
		for s := range c.Sites {
			sx, _ := c.Sites[s].Mid()
			d := math.Abs(sx - x)
			track[s] = 0.98e-3 * d
			plane[s] = 0.5e-3 / math.Pi * math.Acosh(math.Max(1, d/0.3))
		}
		c.Readings = append(c.Readings, Reading{Ohms: ohms[k], D: 1, C: [][]float64{track, plane}})
	}
	return c
}

// TestSupplyTrack is common practice, no source: readings of about 7, 22, 49
// and 60 mΩ along one track put the short at the place that read 7.
func TestSupplyTrack(t *testing.T) {
	m, _ := Profile("bench-6.5-digit")
	at := []float64{5, 20, 45, 55}
	ohms := []float64{0.007, 0.022, 0.049, 0.060}
	p, err := Solve(supplyTrack(t, at, ohms, m))
	if err != nil {
		t.Fatal(err)
	}
	best, _ := p.Case.Sites[p.Best.Site].Mid()
	if p.Fit.Verdict != OneShort {
		t.Errorf("verdict %q (%s), p %.3g", p.Fit.Verdict, p.Fit.Why, p.Fit.P)
	}
	for i := 1; i < len(at); i++ {
		if math.Abs(at[i]-best) <= math.Abs(at[i-1]-best) {
			t.Errorf("short at %.1f mm: order of readings is not order of distance", best)
		}
	}
	if math.Abs(best-at[0]) > 6 {
		t.Errorf("short at %.1f mm, the place that read 7 mohm is at 5", best)
	}
	// Cleared: the same places read 38 kΩ.
	q, err := Solve(supplyTrack(t, at, []float64{38e3, 38.1e3, 37.9e3, 38e3}, m))
	if err != nil {
		t.Fatal(err)
	}
	if q.Fit.Verdict != NotShort {
		t.Errorf("verdict at 38 kohm: %q", q.Fit.Verdict)
	}
	// 150 mΩ of lead left in, and said so.
	left := m
	left.NullOhms = 0.15
	var more []float64
	for _, v := range ohms {
		more = append(more, v+0.15)
	}
	r, err := Solve(supplyTrack(t, at, more, left))
	if err != nil {
		t.Fatal(err)
	}
	moved, _ := r.Case.Sites[r.Best.Site].Mid()
	if d := math.Abs(moved - best); d > math.Min(r.Best.RadiusMM, p.Best.RadiusMM) {
		t.Errorf("lead residue moved the answer by %.2f mm, radius %.2f and %.2f", d, p.Best.RadiusMM,
			r.Best.RadiusMM)
	}
	t.Logf("at %.2f mm radius %.2f; with the leads in %.2f radius %.2f", best, p.Best.RadiusMM, moved,
		r.Best.RadiusMM)
}

func TestVerdicts(t *testing.T) {
	m, _ := Profile("bench-6.5-digit")
	at := []float64{5, 20, 45, 55, 35, 0}
	good := []float64{0.0085, 0.0228, 0.0484, 0.0584, 0.0383, 0.0136} // short at 5 mm + about 1 mΩ... see below
	for i, x := range at {
		d := math.Abs(x - 9)
		good[i] = 1.04*(0.98e-3*d+0.5e-3/math.Pi*math.Acosh(math.Max(1, d/0.3))) + 0.004
	}
	with := func(change func(*Case)) *Posterior {
		c := supplyTrack(t, at, good, m)
		change(&c)
		p, err := Solve(c)
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	p := with(func(*Case) {})
	if x, _ := p.Case.Sites[p.Best.Site].Mid(); p.Fit.Verdict != OneShort || math.Abs(x-9) > 0.5 {
		t.Errorf("sound case: %q at %.2f mm, want 9", p.Fit.Verdict, x)
	}
	p = with(func(c *Case) { c.Readings[2].Ohms += 0.012 })
	if p.Fit.Verdict != Disagree || p.Fit.Worst != 2 {
		t.Errorf("slipped tip: %q, worst %d, p %.2g, mended %.2g", p.Fit.Verdict, p.Fit.Worst, p.Fit.P,
			p.Fit.PWithoutWorst)
	}
	p = with(func(c *Case) {
		r := c.Readings[2]
		r.Ohms += 0.02
		c.Readings = append(c.Readings, r)
	})
	if p.Fit.Verdict != Intermittent {
		t.Errorf("same places 20 mohm apart: %q", p.Fit.Verdict)
	}
	p = with(func(c *Case) { c.Readings[5].Ohms = 2e4 })
	if p.Fit.Verdict != Intermittent {
		t.Errorf("one reading open: %q", p.Fit.Verdict)
	}
	p = with(func(c *Case) {
		c.Readings[5].Ohms = 2e4
		c.Findings = []Finding{{AfterReading: 5, HasPlace: true, X: 9, Done: "wicked", Short: "cleared"}}
	})
	if p.Fit.Verdict != NotShort {
		t.Errorf("open since the repair: %q", p.Fit.Verdict)
	}
}

// TestElsewhereGrows: readings of a short off the listed places, on copper of
// the same sort, must not give a confident wrong place under "one short".
func TestElsewhereGrows(t *testing.T) {
	n := newSynth(0.4)
	m, _ := Profile("bench-6.5-digit")
	var known []suspect.Site
	var index []int
	for i, s := range n.sites {
		if s.Cluster == 1 { // branch 1 is not on the list
			continue
		}
		known, index = append(known, s), append(index, i)
	}
	rng := rand.New(rand.NewPCG(4, 4))
	caught := 0
	for range 40 {
		f := fault{at: spot{1, 4 + 15*rng.Float64()}, rs: 0.003, factor: [2]float64{1.03, 0.97}}
		c := Case{Sites: known, Elsewhere: 0.03, Meter: m, Copper: Copper{Scale: 0.09}}
		for range 8 {
			r := n.read(rng, f, m, n.placesA[rng.IntN(len(n.placesA))], n.placesB[rng.IntN(len(n.placesB))])
			for l := range r.C {
				row := make([]float64, len(known))
				for k, i := range index {
					row[k] = r.C[l][i]
				}
				r.C[l] = row
			}
			c.Readings = append(c.Readings, r)
		}
		p, err := Solve(c)
		if err != nil {
			t.Fatal(err)
		}
		if p.Fit.Verdict == Disagree || p.Elsewhere > 0.5 {
			caught++
		}
	}
	// A branch of equipotential copper hangs at its joint: places on it are told
	// from the joint only by readings at the branch itself.
	if caught < 30 {
		t.Errorf("%d of 40 unlisted places noticed", caught)
	}
	t.Logf("%d of 40 noticed", caught)
}

// TestNoiseFive: noise five times the stated must show.
func TestNoiseFive(t *testing.T) {
	n := newSynth(0.4)
	m, _ := Profile("bench-6.5-digit")
	loud := m
	loud.NoiseOhms *= 5
	rng := rand.New(rand.NewPCG(6, 4))
	caught := 0
	for range 40 {
		f := n.draw(rng, Copper{Scale: 0.09}, m)
		f.rs = math.Min(f.rs, 0.03)
		c := Case{Sites: n.sites, Elsewhere: 0.03, Meter: m, Copper: Copper{Scale: 0.09}}
		for range 8 {
			c.Readings = append(c.Readings, n.read(rng, f, loud, n.placesA[rng.IntN(len(n.placesA))],
				n.placesB[rng.IntN(len(n.placesB))]))
		}
		p, err := Solve(c)
		if err != nil {
			t.Fatal(err)
		}
		if p.Fit.Verdict != OneShort {
			caught++
		}
	}
	if caught < 34 {
		t.Errorf("%d of 40 noticed", caught)
	}
	t.Logf("%d of 40 noticed", caught)
}

func TestFindings(t *testing.T) {
	m, _ := Profile("bench-6.5-digit")
	c := Case{Elsewhere: 0.04, Meter: m}
	c.Sites = []suspect.Site{
		{Kind: suspect.Part, Part: "C7", Prior: 0.4},
		{Kind: suspect.Gap, Near: []string{"C7.1", "C7.2"}, Prior: 0.16, A: geom.FromMM(1, 0),
			B: geom.FromMM(1, 0)},
		{Kind: suspect.Part, Part: "U3", Prior: 0.2, A: geom.FromMM(20, 0), B: geom.FromMM(20, 0)},
		{Kind: suspect.Gap, Near: []string{"U3.5"}, Prior: 0.2, A: geom.FromMM(22, 0), B: geom.FromMM(22, 0)},
	}
	solve := func(f ...Finding) *Posterior {
		d := c
		d.Findings = f
		p, err := Solve(d)
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	p := solve(Finding{Part: "C7", Done: "removed", Short: "remains"})
	if p.P[0] != 0 || p.P[1] >= 0.16 || p.P[2] <= 0.2 {
		t.Errorf("C7 removed, short remains: %v", p.P)
	}
	p = solve(Finding{Part: "C7", Done: "removed", Short: "cleared"})
	if p.P[0]+p.P[1] < 0.95 {
		t.Errorf("C7 removed, short cleared: %v", p.P)
	}
	p = solve(Finding{Part: "U3", Done: "looked", Short: "remains"})
	if p.P[3] >= 0.1 || p.P[2] < 0.15 {
		t.Errorf("looked at U3's pins, nothing seen: %v", p.P)
	}
	p = solve(Finding{HasPlace: true, X: 22, Done: "reflowed", Short: "remains"})
	if p.P[3] == 0 || p.P[3] >= 0.1 {
		t.Errorf("reflowed at 22 mm, remains: %v", p.P)
	}
}

func TestBadInput(t *testing.T) {
	m, _ := Profile("bench-6.5-digit")
	base := func() Case { return supplyTrack(t, []float64{5, 20}, []float64{0.007, 0.022}, m) }
	for _, b := range []struct {
		name, want string
		change     func(*Case)
	}{
		{"no sites", "no place is listed", func(c *Case) { c.Sites = nil }},
		{"NaN", "not a number", func(c *Case) { c.Readings[1].Ohms = math.NaN() }},
		{"infinite", "not a number", func(c *Case) { c.Readings[1].Ohms = math.Inf(1) }},
		{"negative", "reading 2: two-wire value -10.0 mΩ is negative",
			func(c *Case) { c.Readings[1].Ohms = -0.01 }},
		{"overload on one net", "reading 2: OL cannot", func(c *Case) {
			c.Readings[1].Ohms, c.Readings[1].D = overload, 0
		}},
		{"megohms on one net", "reading 2: 5.00 MΩ cannot", func(c *Case) {
			c.Readings[1].Ohms, c.Readings[1].D = 5e6, 0
		}},
		{"short row", "coefficients for", func(c *Case) { c.Readings[0].C[0] = make([]float64, 3) }},
		{"meter", "noise_ohms", func(c *Case) { c.Meter.NoiseOhms = -1 }},
		{"copper", "fraction", func(c *Case) { c.Copper.Scale = 9 }},
		{"deed", "not known", func(c *Case) {
			c.Findings = []Finding{{Part: "C7", Done: "kicked",
				Short: "remains"}}
		}},
		{"finding of nothing", "neither", func(c *Case) {
			c.Findings = []Finding{{Done: "removed",
				Short: "remains"}}
		}},
		{"priors", "prior zero", func(c *Case) {
			for i := range c.Sites {
				c.Sites[i].Prior = 0
			}
		}},
		{"milliohms", "milliohms typed", func(c *Case) { c.Readings[0].Ohms, c.Readings[1].Ohms = 7, 22 }},
		{"one of two in milliohms", "reading 2", func(c *Case) { c.Readings[1].Ohms = 22 }},
	} {
		c := base()
		b.change(&c)
		_, err := Solve(c)
		if err == nil || !strings.Contains(err.Error(), b.want) {
			t.Errorf("%s: got %v, want %q", b.name, err, b.want)
		}
	}
	c := base()
	c.Readings[0].Ohms, c.Readings[1].Ohms = 7, 22
	_, err := Solve(c)
	var u *UnitError
	if !errors.As(err, &u) || u.Likely != 0.007 {
		t.Errorf("unit error: %v", err)
	}
	c = base()
	c.Readings = nil
	p, err := Solve(c)
	if err != nil || math.Abs(p.P[0]-0.97/300) > 1e-6 || p.Fit.Worst != -1 {
		t.Errorf("without readings the prior stands: %v %v", err, p)
	}
	c = base()
	c.Readings[1].Ohms = -0.0005 // within four deviations
	if _, err := Solve(c); err != nil {
		t.Errorf("slightly negative: %v", err)
	}
}

// TestUnitsOfOtherReadings: a same-net value in milliohms has no short to
// excuse it, a four-wire one neither; a real resistance that reads the same
// everywhere is not a slip of units, and an open net is not either.
func TestUnitsOfOtherReadings(t *testing.T) {
	m, _ := Profile("bench-6.5-digit")
	base := func() Case { return supplyTrack(t, []float64{5, 20}, []float64{0.007, 0.022}, m) }
	for _, b := range []struct {
		name   string
		slip   bool
		change func(*Case)
	}{
		{"same net in milliohms", true, func(c *Case) {
			c.Readings = append(c.Readings, Reading{Ohms: 41.2, SameNet: true, C: [][]float64{{0.0412}}})
		}},
		{"four-wire in milliohms", true, func(c *Case) {
			r := c.Readings[0]
			r.Ohms, r.FourWire, r.D = -9, true, 0
			c.Readings = append(c.Readings, r)
		}},
		{"the same 22 ohm everywhere", false, func(c *Case) { c.Readings[0].Ohms, c.Readings[1].Ohms = 22, 22.02 }},
		{"open nets", false, func(c *Case) { c.Readings[0].Ohms, c.Readings[1].Ohms = 38e3, 20e3 }},
		{"one open", false, func(c *Case) { c.Readings[1].Ohms = 20e3 }},
		{"small four-wire value", false, func(c *Case) {
			r := c.Readings[0]
			r.Ohms, r.FourWire, r.D = 3e-6, true, 0
			c.Readings = append(c.Readings, r)
		}},
	} {
		c := base()
		b.change(&c)
		_, err := Solve(c)
		var u *UnitError
		if got := errors.As(err, &u); got != b.slip {
			t.Errorf("%s: error %v, want a unit error: %v", b.name, err, b.slip)
		}
	}
}
