package bench

import (
	"context"
	"encoding/json"
	"math"
	"math/rand/v2"
	"runtime"
	"testing"

	"ohmward/internal/conduct"
	"ohmward/internal/practice"
	"ohmward/internal/suspect"
)

func smallTrial(t *testing.T, o TrialOptions) *TrialAnswer {
	t.Helper()
	o.Nets = []string{"+3V3", "NRST"}
	a, err := Trial(context.Background(), demoName, o)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// The same seed gives the same answer, fault by fault, whatever the cores.
func TestTrialRepeats(t *testing.T) {
	o := TrialOptions{Faults: 6, Seed: 3, Each: true}
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	one := smallTrial(t, o)
	runtime.GOMAXPROCS(2)
	two := smallTrial(t, o)
	one.Cores, two.Cores = 0, 0
	a, _ := json.Marshal(one)
	b, _ := json.Marshal(two)
	if string(a) != string(b) {
		t.Errorf("one core:\n%s\ntwo:\n%s", a, b)
	}
	o.Seed = 4
	each, _ := json.Marshal(one.Each)
	if c, _ := json.Marshal(smallTrial(t, o).Each); string(c) == string(each) {
		t.Error("another seed gives the same faults")
	}
}

// DESIGN's two tests of calibration, and the figures asked for tracks, on
// the demo's narrow pair.
func TestTrialCalibrated(t *testing.T) {
	if testing.Short() {
		t.Skip("searches 60 faults: left out of -short")
	}
	a := smallTrial(t, TrialOptions{Faults: 60, Seed: 1})
	t.Logf("%+v", *a)
	if !a.Coverage.Fair || !a.Surest.Fair {
		t.Errorf("not calibrated: coverage %+v, above 0.99 %+v", a.Coverage, a.Surest)
	}
	if a.Error.Median > 0.5 || a.Error.P90 > 3 || a.Readings.Median > 5 {
		t.Errorf("error %+v mm by %+v readings; want 0.5 and 3 mm by 5", a.Error, a.Readings)
	}
	if a.Error.Median > a.Lowest.Error.Median/4 {
		t.Errorf("error %g mm, the lowest-reading method's %g", a.Error.Median, a.Lowest.Error.Median)
	}
}

// A two-wire reading is the sum of its halves, and a four-wire one lies on one
// group alone: both against the prediction of the whole.
func TestHalvesMakeTheWhole(t *testing.T) {
	s := smallSession(t)
	h := newHalves(s)
	for _, four := range []bool{false, true} {
		at := contacts{in: s.probes[0][0].Spot, out: s.probes[1][0].Spot, fourWire: four}
		at.high, at.low = at.in, at.out
		got, err := h.twoWire(0, 0)
		if four {
			at.high, at.low = s.probes[0][1].Spot, s.probes[0][2].Spot
			got, err = h.fourWire(0, 0, 1, 2)
		}
		if err != nil {
			t.Fatal(err)
		}
		want, err := s.predictedAnew(s.whole(), at)
		if err != nil {
			t.Fatal(err)
		}
		if len(got.C) != len(want.C) || got.D != want.D || got.FourWire != want.FourWire {
			t.Fatalf("four-wire %v: %d parts, D %g; want %d, %g", four, len(got.C), got.D, len(want.C), want.D)
		}
		for i := range s.sites {
			var g, w float64
			for l := range want.C {
				g, w = g+valueAt(got.C[l], i), w+valueAt(want.C[l], i)
			}
			if math.Abs(g-w) > 1e-9+1e-6*math.Abs(w) {
				t.Fatalf("four-wire %v: site %d reads %g ohm, want %g", four, i, g, w)
			}
		}
	}
}

func valueAt(row []float64, i int) float64 {
	if len(row) == 1 {
		return row[0]
	}
	return row[i]
}

// The crowd's first order against a unit solved with its own copper: the same
// random numbers draw the same factors for both.
func TestCrowdAgainstUnits(t *testing.T) {
	s := smallSession(t)
	b := s.practiceBench("")
	const n = 4
	crowd, err := practice.NewCrowd(context.Background(), b, practice.Draw{}, n, rand.New(rand.NewPCG(5, 5)))
	if err != nil {
		t.Fatal(err)
	}
	for i, f := range crowd.Faults {
		one := b
		one.Fault, one.Ohms = &f.Site, f.Ohms
		unit, err := practice.NewUnit(context.Background(), one, rand.New(rand.NewPCG(6, uint64(i))))
		if err != nil {
			t.Fatal(err)
		}
		cu := crowd.DrawCopper(rand.New(rand.NewPCG(6, uint64(i))))
		for k := range 3 {
			p, q := s.tip1(0, 5*k), s.tip1(1, k%len(s.probes[1]))
			want, err := unit.Reads(conduct.Reading{In: p, Out: q, High: p, Low: q})
			if err != nil {
				t.Fatal(err)
			}
			x, err1 := crowd.TwoWire(i, cu, p)
			y, err2 := crowd.TwoWire(i, cu, q)
			if err1 != nil || err2 != nil {
				t.Fatal(err1, err2)
			}
			if got := x + y + f.Ohms; math.Abs(got-want) > 0.01*want+50e-6 {
				t.Errorf("fault %d, reading %d: %g ohm, solved with its own copper %g", i, k, got, want)
			}
		}
	}
}

func TestTrialMisuse(t *testing.T) {
	for _, o := range []TrialOptions{{Faults: -1}, {Faults: 5001}, {Kind: "three-wire"}, {OffModel: "moon"}, {Meter: "none"}} {
		o.Nets = []string{"+3V3", "NRST"}
		if _, err := Trial(context.Background(), demoName, o); err == nil {
			t.Errorf("%+v: no error", o)
		}
	}
}

func smallSession(t *testing.T) *session {
	t.Helper()
	p, err := open(context.Background(), demoName, Options{})
	if err != nil {
		t.Fatal(err)
	}
	s, err := p.newSession(context.Background(), question{nets: []string{"+3V3", "NRST"}, rates: suspect.DefaultRates(), layers: true})
	if err != nil {
		t.Fatal(err)
	}
	return s
}
