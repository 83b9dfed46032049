package practice

import (
	"math"
	"math/rand/v2"
	"strconv"
	"testing"
)

func newTestMeter(n Noise) *Meter { return NewMeter(n, rand.New(rand.NewPCG(1, 2))) }

// Replies take the forms of REFERENCES F1, F2 and F4.
func TestDialogue(t *testing.T) {
	m := newTestMeter(Noise{})
	for _, step := range [][2]string{
		{"READ?", "+9.90000000E+37"},
		{"SYST:ERR?", `+0,"No error"`},
		{"BEEP", ""},
		{"SYST:ERR?", `-113,"Undefined header"`},
		{"SYST:ERR?", `+0,"No error"`},
	} {
		if got := m.Ask(step[0]); got != step[1] {
			t.Errorf("%s: got %s, want %s", step[0], got, step[1])
		}
	}
	m.Touch(0.0187, true)
	m.Ask("CONF:FRES")
	if v, err := strconv.ParseFloat(m.Ask("READ?"), 64); err != nil || math.Abs(v-0.0187) > 1e-4 {
		t.Errorf("four-wire reading %v, %v", v, err)
	}
	m.Ask("CONF:RES")
	if v, _ := strconv.ParseFloat(m.Ask("READ?"), 64); v < 0.07 {
		t.Errorf("two-wire reading %g ohm is free of the leads", v)
	}
}

// The noise of touches has the stated deviation, held or clipped, and held
// ones err upward.
func TestTouchNoise(t *testing.T) {
	for _, hand := range []bool{false, true} {
		m := newTestMeter(Noise{TwoWire: 3e-3, Hand: hand})
		var sum, square float64
		const n = 20000
		for range n {
			m.Touch(0, false)
			sum += m.touched
			square += m.touched * m.touched
		}
		mean := sum / n
		sd := math.Sqrt(square/n - mean*mean)
		if math.Abs(sd/3e-3-1) > 0.03 {
			t.Errorf("hand %v: deviation %.3g ohm, want 3e-3", hand, sd)
		}
		if up := mean > 2e-3; up != hand {
			t.Errorf("hand %v: mean %.3g ohm", hand, mean)
		}
	}
}
