package locate

import "ohmward/unit"

// The last digit of the meters that have a profile, in ohms: six and a half
// digits on the range of 100 ohms, and ten times finer where the volts are read
// apart from the current.
const (
	digitTwoWire  = 0.1e-3
	digitFourWire = 0.01e-3
)

// Digit is what the last digit of a value of the meter is worth, in ohms: its
// resolution where that is known.
func (m Meter) Digit(fourWire bool) float64 {
	switch {
	case m.Spec.ResolutionOhms > 0:
		return m.Spec.ResolutionOhms
	case fourWire:
		return digitFourWire
	}
	return digitTwoWire
}

// Text writes a value in ohms with the digits that the meter has.
func (m Meter) Text(ohms float64, fourWire bool) string {
	return unit.Resistance(ohms).Shown(unit.Resistance(m.Digit(fourWire)))
}
