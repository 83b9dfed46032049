package practice

import (
	"math"
	"math/rand/v2"
	"strconv"
	"testing"
)

// readings are what a meter says of many touches.
func readings(t *testing.T, n Noise, ohms float64, fourWire bool) (out []float64) {
	t.Helper()
	m := NewMeter(n, rand.New(rand.NewPCG(1, 2)))
	if fourWire {
		m.Ask("CONF:FRES")
	}
	for range 2000 {
		m.Touch(ohms, fourWire)
		v, err := strconv.ParseFloat(m.Ask("READ?"), 64)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, v)
	}
	return out
}

// TestSteps: a display with steps shows nothing between them.
func TestSteps(t *testing.T) {
	for _, four := range []bool{false, true} {
		n := Noise{TwoWire: 3e-3, FourWire: 1e-3, Step: 0.1, FourWireStep: 0.01}
		for _, v := range readings(t, n, 0.23, four) {
			step := 0.1
			if four {
				step = 0.01
			}
			if k := v / step; math.Abs(k-math.Round(k)) > 1e-6 {
				t.Fatalf("four-wire %v: %g ohm with steps of %g", four, v, step)
			}
		}
	}
}

// TestStepsDifferenced: on less off is right in the mean, and its deviation is
// never more than that of two steps rounded apart by half.
func TestStepsDifferenced(t *testing.T) {
	const step = 1e-3
	var mean, square float64
	all := readings(t, Noise{FourWireStep: step, Differenced: true}, 0.3*step, true)
	for _, v := range all {
		mean += v / float64(len(all))
		square += (v - 0.3*step) * (v - 0.3*step) / float64(len(all))
	}
	if math.Abs(mean-0.3*step) > 0.05*step {
		t.Errorf("in the mean %g ohm, want %g", mean, 0.3*step)
	}
	if want := step * math.Sqrt(0.3*0.7); math.Abs(math.Sqrt(square)/want-1) > 0.05 {
		t.Errorf("deviation %g ohm, want %g", math.Sqrt(square), want)
	}
}
