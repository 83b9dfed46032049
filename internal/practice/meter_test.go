package practice

import (
	"math"
	"strconv"
	"testing"
)

func newTestMeter(n Noise) *Meter { return NewMeter(n, seeded(1)) }

// ask is a reading in ohms.
func ask(t testing.TB, m *Meter, command string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(m.Ask(command), 64)
	if err != nil {
		t.Fatalf("%s: %v", command, err)
	}
	return v
}

// Replies take the forms of REFERENCES F1, F2 and F4.
func TestDialogue(t *testing.T) {
	m := newTestMeter(Noise{})
	for _, step := range [][2]string{
		{"*IDN?", "OHMWARD,PRACTICE METER,0,1"},
		{"READ?", "+9.90000000E+37"},
		{"SYST:ERR?", `+0,"No error"`},
		{"BEEP", ""},
		{"SYST:ERR?", `-113,"Undefined header"`},
		{"SYST:ERR?", `+0,"No error"`},
		{"BEEP", ""},
		{"*CLS", ""},
		{"SYST:ERR?", `+0,"No error"`},
	} {
		if got := m.Ask(step[0]); got != step[1] {
			t.Errorf("%s: got %s, want %s", step[0], got, step[1])
		}
	}
	m.Touch(0.0187, true)
	m.Ask("CONF:FRES")
	if v := ask(t, m, "READ?"); math.Abs(v-0.0187) > 1e-9 {
		t.Errorf("a four-wire reading of %g ohm by a meter without noise", v)
	}
	m.Ask("CONF:RES")
	leads := ask(t, m, "READ?") - 0.0187
	if leads < 0.06 || leads > 0.10 {
		t.Errorf("leads of %g ohm", leads)
	}
	m.Short()
	if v := ask(t, m, "READ?"); math.Abs(v-leads) > 1e-9 {
		t.Errorf("the tips held together read %g ohm, the leads have %g", v, leads)
	}
	m.Lift()
	if v := ask(t, m, "READ?"); v != overload {
		t.Errorf("in the air: %g ohm", v)
	}
}

// touches are the errors of n touches where a perfect meter would read ohms.
func touches(m *Meter, n int, ohms float64, fourWire bool) (out []float64) {
	for range n {
		m.Touch(ohms, fourWire)
		out = append(out, m.touched-ohms)
	}
	return out
}

// halfNormalSkew is the skewness of a half-normal excess.
const halfNormalSkew = 0.99527

// The noise of touches has the stated deviation: without skew where tips are
// clipped or four-wire, upward and skewed where hands hold them.
func TestTouchNoise(t *testing.T) {
	const n, sigma = 40000, 3e-3
	excess := math.Sqrt(1 - 0.4*0.4) // of the deviation, the half-normal part's share
	for _, c := range []struct {
		name       string
		noise      Noise
		fourWire   bool
		ohms       float64
		mean, skew float64
	}{
		{"clipped", Noise{TwoWire: sigma}, false, 0, 0, 0},
		{"held", Noise{TwoWire: sigma, HandHeld: true}, false, 0,
			sigma * excess * math.Sqrt(2/math.Pi) / math.Sqrt(1-2/math.Pi), halfNormalSkew * math.Pow(excess, 3)},
		{"held, four-wire", Noise{TwoWire: 1, FourWire: sigma, HandHeld: true}, true, 0, 0, 0},
		{"of the reading", Noise{Fraction: 0.01}, true, sigma / 0.01, 0, 0},
		{"both", Noise{FourWire: 0.6 * sigma, Fraction: 0.01}, true, 0.8 * sigma / 0.01, 0, 0},
	} {
		v := touches(newTestMeter(c.noise), n, c.ohms, c.fourWire)
		holdSpread(t, c.name, v, c.mean, sigma, 1.3) // the held law's kurtosis is 3.6
		if _, _, skew := moments(v); math.Abs(skew-c.skew) > 2*chance*math.Sqrt(6.0/n) {
			t.Errorf("%s: skewness %.3f, want %.3f", c.name, skew, c.skew)
		}
	}
}

// All readings of one touch share its error; what they scatter by is sampling.
func TestSampling(t *testing.T) {
	const n, sigma = 20000, 3e-3
	m := newTestMeter(Noise{FourWire: sigma})
	m.Ask("CONF:FRES")
	m.Touch(0.02, true)
	var v []float64
	for range n {
		v = append(v, ask(t, m, "READ?"))
	}
	holdSpread(t, "readings of one touch", v, m.touched, sampling*sigma, 1)
	if m.touched == 0.02 {
		t.Error("the touch has no error of its own")
	}
}

// A null leaves the stated residue, as each time the tips are held together.
func TestNullResidue(t *testing.T) {
	const n, sigma = 20000, 2e-3
	m := newTestMeter(Noise{Null: sigma})
	var v []float64
	for range n {
		m.Short()
		v = append(v, ask(t, m, "READ?")-m.leads)
	}
	holdSpread(t, "left after a null", v, 0, sigma, 1)
}

func TestMeterBySeed(t *testing.T) {
	read := func(seed uint64) float64 {
		m := NewMeter(Noise{TwoWire: 3e-3, HandHeld: true}, seeded(seed))
		m.Touch(0.05, false)
		return ask(t, m, "READ?")
	}
	if read(1) != read(1) || read(1) == read(2) {
		t.Errorf("readings %g, %g of one seed, %g of another", read(1), read(1), read(2))
	}
}
