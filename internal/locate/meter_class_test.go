package locate

import (
	"math"
	"testing"
)

// TestClasses: each class of meter is told by the step that it shows; a
// hand-held's four-wire step is that of its volts over the current, on less off.
func TestClasses(t *testing.T) {
	for name, want := range map[string]struct{ two, four float64 }{
		"hand-3.5-digit":     {0.1, 1e-4 * math.Sqrt2 / 0.2},
		"hand-4.5-digit":     {0.01, 1e-5 * math.Sqrt2 / 0.2},
		"bench-5.5-digit":    {1e-3, 1e-3},
		"milliohm-four-wire": {1e-4, 1e-4},
	} {
		m, err := Profile(name)
		if err != nil {
			t.Fatal(err)
		}
		for four, step := range map[bool]float64{false: want.two, true: want.four} {
			least := step / math.Sqrt(12)
			if got := m.sigma(Reading{FourWire: four}); got < least || m.OneTouch(four) < least {
				t.Errorf("%s, four-wire %v: ±%g ohm with steps of %g", name, four, got, step)
			}
		}
		if got := m.NullOhms; got < want.two/math.Sqrt(12) {
			t.Errorf("%s: ±%g ohm after a null in steps of %g", name, got, want.two)
		}
	}
	m, _ := Profile("hand-3.5-digit")
	r := Reading{FourWire: true}
	if half, whole := m.Injected(0.5).sigma(r), m.Injected(1).sigma(r); math.Abs(half/whole-2) > 1e-9 {
		t.Errorf("at half the current ±%g ohm, at the whole ±%g", half, whole)
	}
	bench, _ := Profile("bench-6.5-digit")
	if bench != bench.Injected(0.1) {
		t.Error("a meter that reads four-wire by itself was changed by a supply's current")
	}
}
