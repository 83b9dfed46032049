package suspect

import (
	"context"
	"errors"
	"math"
	"reflect"
	"slices"
	"testing"

	"ohmward/internal/check"
)

// Three nets side by side: A to B over 0.1 mm, B to C over 0.3 mm, A to C
// hidden by B; a capacitor from A to C.
func proneBoard() maker {
	m := blank(1)
	m.draw(0, "A", rect(0, 0, 10, 0.2)).draw(0, "B", rect(0, 0.3, 10, 0.5)).draw(0, "C", rect(0, 0.8, 10, 1))
	m.land(0, "A", "C1", "1", -1, -5, 0, -4, 1).land(0, "C", "C1", "2", -1, -3, 0, -2, 1)
	return m.draw(0, "A", rect(-5, 0, -4.8, -2)).draw(0, "A", rect(-5, -2, 0.2, -1.8)).draw(0, "A", rect(0, -2, 0.2, 0.2)).
		draw(0, "C", rect(-2.2, 0, -2, 3)).draw(0, "C", rect(-2.2, 3, 0.2, 3.2)).draw(0, "C", rect(0, 0.8, 0.2, 3.2))
}

func TestProneOverAllPairs(t *testing.T) {
	m := proneBoard()
	q := m.ask(t, "A", "B")
	all, err := Prone(context.Background(), m.Board, q.Nets, DefaultRates(), 1000)
	if err != nil {
		t.Fatal(err)
	}
	name := func(f Found) string { return q.Nets.Nets[f.Nets[0]].Name + q.Nets.Nets[f.Nets[1]].Name }
	sum := 0.0
	chance, length := map[string]float64{}, map[string]float64{}
	for i, f := range all {
		sum += f.Prior
		if i > 0 && f.Prior > all[i-1].Prior {
			t.Errorf("place %d is likelier than the one before", i)
		}
		if on, ok := q.Nets.NetAt(0, f.A); f.Kind == Gap && (!ok || on != f.Nets[0]) {
			t.Errorf("%s: A is not on the first net", name(f))
		}
		key := f.Kind.String() + " " + name(f)
		chance[key] += f.Prior
		length[key] += f.Length * 1e3
	}
	check.Approx(t, sum, 1, check.Tol{Abs: 1e-12}, "all chances")
	var keys []string
	for k := range chance {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	if want := []string{"gap AB", "gap BC", "part AC"}; !slices.Equal(keys, want) {
		t.Fatalf("found %q, want %q", keys, want)
	}
	r := DefaultRates()
	fall := r.GapFall * 1e3
	// Beside the 10 mm the ends see each other's corners: 0.43 mm, seen halves.
	check.Approx(t, length["gap AB"], 10.43, check.Tol{Abs: 0.3}, "length of AB")
	check.Approx(t, chance["gap BC"]/chance["gap AB"], math.Exp(-(0.3-0.1)/fall), check.Tol{Rel: 0.06}, "BC to AB")
	check.Approx(t, chance["part AC"]/chance["gap AB"], pronePart*r.Part["C"]/(10*math.Exp(-0.1/fall)), check.Tol{Rel: 0.06}, "the capacitor to AB")

	few, _ := Prone(context.Background(), m.Board, q.Nets, DefaultRates(), 2)
	if len(few) != 2 || !reflect.DeepEqual(few, all[:2]) {
		t.Errorf("asked for two: %d, not the first two", len(few))
	}
	again, _ := Prone(context.Background(), m.Board, q.Nets, DefaultRates(), 1000)
	if !reflect.DeepEqual(all, again) {
		t.Error("two lists differ")
	}
}

func TestProneStops(t *testing.T) {
	m := proneBoard()
	q := m.ask(t, "A", "B")
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Prone(ctx, m.Board, q.Nets, DefaultRates(), 10); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v, want %v", err, context.Canceled)
	}
}

// A board with nothing to bridge has no places and no NaN.
func TestProneOnNothing(t *testing.T) {
	m := blank(1).draw(0, "A", rect(0, 0, 1, 1)).draw(0, "B", rect(50, 50, 51, 51))
	q := m.ask(t, "A", "B")
	if all, err := Prone(context.Background(), m.Board, q.Nets, DefaultRates(), 10); err != nil || len(all) != 0 {
		t.Errorf("%d places (%v), want none", len(all), err)
	}
}
