package bench

import (
	"context"
	"reflect"
	"testing"

	"ohmward/internal/cache"
	"ohmward/internal/suspect"
	"ohmward/unit"
)

// keptSession opens the demo's +3V3 and NRST with a store.
func keptSession(t *testing.T, s *cache.Store, o Options, layers bool) *session {
	t.Helper()
	o.Kept = s
	p, err := open(context.Background(), demoName, o)
	if err != nil {
		t.Fatal(err)
	}
	got, err := p.newSession(context.Background(), question{nets: []string{"+3V3", "NRST"}, foreign: true, rates: suspect.DefaultRates(), layers: layers})
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
	at := contacts{in: one.probes[0][0].Spot, out: one.probes[1][0].Spot}
	at.high, at.low = at.in, at.out
	want, err := one.predictedAnew(one.whole(), at)
	if err != nil {
		t.Fatal(err)
	}
	two := keptSession(t, store, Options{}, true)
	got, err := two.predictedAnew(two.whole(), at)
	if err != nil {
		t.Fatal(err)
	}
	if one.solver.bridge == nil || two.solver.bridge != nil {
		t.Errorf("solved: %v the first time, %v the second", one.solver.bridge != nil, two.solver.bridge != nil)
	}
	if !reflect.DeepEqual(got, want) {
		t.Error("the second prediction is another")
	}
	if !reflect.DeepEqual(two.tables, one.tables) || !reflect.DeepEqual(two.sites, one.sites) || two.elsewhere != one.elsewhere {
		t.Error("the second session has other tables or suspects")
	}
	one.solver.kept = nil // what follows is solved by both
	at.in, at.high = one.probes[0][1].Spot, one.probes[0][1].Spot
	for _, s := range []*session{one, two} {
		r, err := s.predictedAnew(s.whole(), at)
		if err != nil {
			t.Fatal(err)
		}
		if s == one {
			want = r
		} else if !reflect.DeepEqual(r, want) {
			t.Error("what was solved late is another")
		}
	}
	if two.solver.bridge == nil || two.solver.loop(0, len(two.sites)-1) != one.solver.loop(0, len(one.sites)-1) {
		t.Error("the loop that was solved late is another")
	}
	for name, s := range map[string]*session{
		"thicker copper":      keptSession(t, store, Options{GivenCopper: true, Copper: 70 * unit.Micrometre}, true),
		"layers not apart":    keptSession(t, store, Options{}, false),
		"another temperature": keptSession(t, store, Options{GivenTemp: true, Temp: unit.Celsius(60)}, true),
	} {
		if s.solver.bridge == nil {
			t.Errorf("%s was taken for what is kept", name)
		}
	}
}
