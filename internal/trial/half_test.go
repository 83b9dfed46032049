package trial

import (
	"context"
	"math"
	"testing"

	"ohmward/internal/engine"
	"ohmward/internal/suspect"
)

// A two-wire reading is the sum of its halves, and a four-wire one lies on one
// group alone: both against the prediction of the whole.
func TestHalvesMakeTheWhole(t *testing.T) {
	s := smallSession(t)
	h, err := newHalves(s)
	if err != nil {
		t.Fatal(err)
	}
	for _, four := range []bool{false, true} {
		at := engine.Contacts{In: s.Probes[0][0].Spot, Out: s.Probes[1][0].Spot, FourWire: four}
		at.High, at.Low = at.In, at.Out
		got, err := h.twoWire(0, 0)
		if four {
			at.High, at.Low = s.Probes[0][1].Spot, s.Probes[0][2].Spot
			got, err = h.fourWire(0, 0, 1, 2)
		}
		if err != nil {
			t.Fatal(err)
		}
		want, err := s.PredictUncached(s.Whole(), at)
		if err != nil {
			t.Fatal(err)
		}
		if len(got.C) != len(want.C) || got.D != want.D || got.FourWire != want.FourWire {
			t.Fatalf("four-wire %v: %d parts, D %g; want %d, %g", four, len(got.C), got.D, len(want.C), want.D)
		}
		for i := range s.Sites {
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

func smallSession(t *testing.T) *engine.Pair {
	t.Helper()
	p, err := engine.Open(context.Background(), engine.DemoName, engine.Options{Cache: shared})
	if err != nil {
		t.Fatal(err)
	}
	s, err := p.NewPair(context.Background(), engine.PairOptions{Nets: []string{"+3V3", "NRST"}, Rates: suspect.DefaultRates(), Layers: true})
	if err != nil {
		t.Fatal(err)
	}
	return s
}
