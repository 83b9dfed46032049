package engine

import (
	"context"
	"reflect"
	"testing"

	"ohmward/internal/cache"
	"ohmward/internal/suspect"
	"ohmward/unit"
)

// keptSession opens the demo's +3V3 and NRST with a store.
func keptSession(t *testing.T, s *cache.Store, o Options, layers bool) *Pair {
	t.Helper()
	o.Cache = s
	p, err := Open(context.Background(), DemoName, o)
	if err != nil {
		t.Fatal(err)
	}
	got, err := p.NewPair(context.Background(), PairOptions{Nets: []string{"+3V3", "NRST"}, Foreign: true, Rates: suspect.DefaultRates(), Layers: layers})
	if err != nil {
		t.Fatal(err)
	}
	return got
}

// TestKeptSession: a second session on the same board factors nothing until it
// is asked for something new, has the same tables and predictions as the first,
// and solves then what the first solved. Other copper is found anew.
func TestKeptSession(t *testing.T) {
	store := cache.In(t.TempDir(), "p", 1e9)
	one := keptSession(t, store, Options{}, true)
	at := Contacts{In: one.Probes[0][0].Spot, Out: one.Probes[1][0].Spot}
	at.High, at.Low = at.In, at.Out
	want, err := one.PredictUncached(one.Whole(), at)
	if err != nil {
		t.Fatal(err)
	}
	two := keptSession(t, store, Options{}, true)
	got, err := two.PredictUncached(two.Whole(), at)
	if err != nil {
		t.Fatal(err)
	}
	if one.Solver.bridge == nil || two.Solver.bridge != nil {
		t.Errorf("solved: %v the first time, %v the second", one.Solver.bridge != nil, two.Solver.bridge != nil)
	}
	if !reflect.DeepEqual(got, want) {
		t.Error("the second prediction is another")
	}
	if !reflect.DeepEqual(two.Tables, one.Tables) || !reflect.DeepEqual(two.Sites, one.Sites) || two.Elsewhere != one.Elsewhere {
		t.Error("the second session has other tables or suspects")
	}
	one.Solver.cache = nil // what follows is solved by both
	at.In, at.High = one.Probes[0][1].Spot, one.Probes[0][1].Spot
	for _, s := range []*Pair{one, two} {
		r, err := s.PredictUncached(s.Whole(), at)
		if err != nil {
			t.Fatal(err)
		}
		if s == one {
			want = r
		} else if !reflect.DeepEqual(r, want) {
			t.Error("what was solved late is another")
		}
	}
	if two.Solver.bridge == nil || two.Solver.Loop(0, len(two.Sites)-1) != one.Solver.Loop(0, len(one.Sites)-1) {
		t.Error("the loop that was solved late is another")
	}
	for name, s := range map[string]*Pair{
		"thicker copper":      keptSession(t, store, Options{Copper: new(70 * unit.Micrometre)}, true),
		"layers not apart":    keptSession(t, store, Options{}, false),
		"another temperature": keptSession(t, store, Options{Temp: new(unit.Celsius(60))}, true),
	} {
		if s.Solver.bridge == nil {
			t.Errorf("%s was taken for what is kept", name)
		}
	}
}
