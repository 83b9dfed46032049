// Package unit holds physical quantities in SI units as defined float64
// types, and parses and prints them with units. Lengths in plan that must be
// exact are integer nanometres in package geom instead.
package unit

// Length is metres.
type Length float64

// Resistance is ohms.
type Resistance float64

// Resistivity is ohm metres.
type Resistivity float64

// Temperature is kelvins above 0 degrees Celsius.
type Temperature float64

// Common lengths.
const (
	Metre      Length = 1
	Millimetre Length = 1e-3
	Micrometre Length = 1e-6
	Nanometre  Length = 1e-9
)
