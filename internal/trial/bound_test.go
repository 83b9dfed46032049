package trial

import (
	"context"
	"math"
	"testing"

	"ohmward/internal/engine"
)

// massesOver is a mass over boundRadii that steps from one share to 1 at a
// radius.
func massesOver(share, at float64) []float64 {
	out := make([]float64, len(boundRadii))
	for k, r := range boundRadii {
		if out[k] = share; r >= at {
			out[k] = 1
		}
	}
	return out
}

// TestBoundOf: half of the readings tell the place, the other half leave 0.2 of
// the mass until 5 mm: one half is reached at once, 0.9 by 5 mm alone.
func TestBoundOf(t *testing.T) {
	var runs []Search
	for i := range 10 {
		share := 1.0
		if i%2 == 1 {
			share = 0.2
		}
		runs = append(runs, Search{within: massesOver(share, 5), meanOff: 2, Off: 3})
	}
	tr, err := newTrial(context.Background(), smallSession(t).Board, Options{Nets: []string{"+3V3", "NRST"}, Faults: 1,
		Kind: "two-wire", Meter: engine.DefaultMeter})
	if err != nil {
		t.Fatal(err)
	}
	b := tr.boundOf(runs)
	if b.Error.Median != 0 || math.Abs(b.Error.P90/5-1) > 0.08 || math.Abs(b.RMS-2) > 1e-9 || b.Faults != 10 || b.There.Median != 3 {
		t.Errorf("%+v", b)
	}
	if got := rmsOf(runs); math.Abs(got-3) > 1e-12 {
		t.Errorf("r.m.s. %g", got)
	}
	tr.options.OffModel = "noise"
	if b := tr.boundOf(runs); b.Faults != 0 || b.Error.Median != 0 || b.RMS != 0 {
		t.Errorf("off the model: %+v", b)
	}
}

// TestEnoughToTell: few faults tell nothing of calibration, however they fare.
func TestEnoughToTell(t *testing.T) {
	for n, want := range map[int]bool{1: false, 19: false, 30: false, 60: true, 200: true} {
		var runs []Search
		for range n {
			runs = append(runs, Search{mass: 0.92, p: 0.995, Inside: true, right: true})
		}
		if c := coverageOf(runs); c.Enough != want {
			t.Errorf("%d faults: %+v", n, c)
		}
	}
	if s := surestOf([]Search{{p: 0.9999, right: true}}); s.Enough {
		t.Errorf("one sure answer: %+v", s)
	}
	if s := surestOf(make([]Search, 50)); s.Enough {
		t.Errorf("no sure answer: %+v", s)
	}
}
