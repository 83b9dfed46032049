// Package unit holds physical quantities in SI units as defined float64
// types, and parses and prints them with units. Lengths in plan that must be
// exact are integer nanometres in package geom instead.
//
// The compiler keeps ohms from being passed as metres, but not a bare number
// (35 is 35 metres) nor a product (w*h stays a Length). So quantities are
// written with a constant (35 * Micrometre), and products and quotients that
// change the quantity are the named functions of this package.
package unit

// Length is metres.
type Length float64

// Resistance is ohms. Open stands for a meter that shows overload.
type Resistance float64

// Resistivity is ohm metres.
type Resistivity float64

// Temperature is kelvins above 0 degrees Celsius.
type Temperature float64

// Current is amperes.
type Current float64

// Voltage is volts.
type Voltage float64

// Power is watts.
type Power float64

// Common lengths.
const (
	Metre      Length = 1
	Millimetre Length = 1e-3
	Micrometre Length = 1e-6
	Nanometre  Length = 1e-9
	Inch       Length = 25.4e-3 // exact by definition
	Mil        Length = 25.4e-6 // a thousandth of an inch
)

// Common resistances.
const (
	OhmUnit  Resistance = 1
	Milliohm Resistance = 1e-3
	Kilohm   Resistance = 1e3
)

// MM gives the length in millimetres.
func (l Length) MM() float64 { return float64(l) / float64(Millimetre) }

// UM gives the length in micrometres.
func (l Length) UM() float64 { return float64(l) / float64(Micrometre) }

// Celsius gives a temperature from degrees Celsius. It is a function, not a
// constant, because the scale has an offset.
func Celsius(t float64) Temperature { return Temperature(t) }

// Kelvin gives a temperature from absolute kelvins.
func Kelvin(t float64) Temperature { return Temperature(t - 273.15) }

// Celsius gives the temperature in degrees Celsius.
func (t Temperature) Celsius() float64 { return float64(t) }

// Ohm is Ohm's law, R = V/I.
func Ohm(v Voltage, i Current) Resistance { return Resistance(float64(v) / float64(i)) }
