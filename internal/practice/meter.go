package practice

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
)

// Noise is how a meter and the hands on it err, as standard deviations.
type Noise struct {
	TwoWire, FourWire float64 // ohms, of one touch
	Fraction          float64 // of the reading
	Null              float64 // ohms, left after a null
	HandHeld          bool    // tips held by hand: the excess only adds
	Step              float64 // ohms, of the display's last digit; 0: none
	FourWireStep      float64 // the same, four-wire
	Differenced       bool    // four-wire is shown current on less current off
}

// Meter answers SCPI like a bench meter whose leads touch a unit. The
// dialogue is the common one of such meters (REFERENCES F1 to F4).
type Meter struct {
	noise    Noise
	rng      *rand.Rand
	fourWire bool
	touched  float64 // ohms between the tips, touch included; NaN: open
	leads    float64 // ohms of the leads, two-wire
	errors   []string
}

// NewMeter gives a meter with its leads in the air.
func NewMeter(noise Noise, rng *rand.Rand) *Meter {
	return &Meter{noise: noise, rng: rng, touched: math.NaN(), leads: 0.06 + 0.04*rng.Float64()}
}

// Touch sets the tips down where a perfect meter would read ohms. The error
// belongs to the touch: all readings of one touch share it.
func (m *Meter) Touch(ohms float64, fourWire bool) {
	sigma := m.noise.TwoWire
	if fourWire {
		sigma = m.noise.FourWire
	}
	excess := sigma * m.rng.NormFloat64()
	if m.noise.HandHeld && !fourWire {
		excess = 0.4*excess + heldShare*sigma*math.Abs(m.rng.NormFloat64())
	}
	m.touched = ohms*(1+m.noise.Fraction*m.rng.NormFloat64()) + excess
}

// heldShare makes the deviation of a held touch the stated one: a Gaussian of
// 0.4 and a half-normal excess whose own deviation is 0.917.
var heldShare = math.Sqrt(1-0.4*0.4) / math.Sqrt(1-2/math.Pi)

// Short holds the tips together for a null, as well as a person can.
func (m *Meter) Short() {
	m.touched = m.noise.Null * m.rng.NormFloat64()
}

// Lift takes the tips off.
func (m *Meter) Lift() { m.touched = math.NaN() }

// overload is what such meters send beyond their range (REFERENCES F1).
const overload = 9.9e37

// Ask sends one command and gives the reply, "" where there is none.
func (m *Meter) Ask(command string) string {
	name := strings.ToUpper(strings.TrimSpace(command))
	verb, _, _ := strings.Cut(name, " ")
	switch verb {
	case "*IDN?":
		return "OHMWARD,PRACTICE METER,0,1"
	case "*RST", "*CLS":
		m.fourWire = false
		m.errors = nil
	case "CONF:RES":
		m.fourWire = false
	case "CONF:FRES":
		m.fourWire = true
	case "READ?":
		return fmt.Sprintf("%+.8E", m.read())
	case "SYST:ERR?":
		return m.nextError()
	default:
		m.errors = append(m.errors, `-113,"Undefined header"`)
	}
	return ""
}

// sampling is the share of a touch's noise that changes from reading to
// reading: the rest belongs to the touch.
const sampling = 0.03

func (m *Meter) read() float64 {
	if math.IsNaN(m.touched) {
		return overload
	}
	v, sigma, step := m.touched, m.noise.FourWire, m.noise.FourWireStep
	if !m.fourWire {
		v, sigma, step = v+m.leads, m.noise.TwoWire, m.noise.Step
	}
	v += sampling * sigma * m.rng.NormFloat64()
	if m.fourWire && m.noise.Differenced && step > 0 {
		off := step * m.rng.Float64() // what the volts read with the current off
		return stepped(v+off, step) - stepped(off, step)
	}
	return stepped(v, step)
}

// stepped is a value as a display with such steps has it.
func stepped(v, step float64) float64 {
	if step <= 0 {
		return v
	}
	return step * math.Round(v/step)
}

func (m *Meter) nextError() string {
	if len(m.errors) == 0 {
		return `+0,"No error"`
	}
	first := m.errors[0]
	m.errors = m.errors[1:]
	return first
}
