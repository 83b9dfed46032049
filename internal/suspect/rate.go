package suspect

import "math"

// Rates are how often, relative to each other, kinds of place turn out to be
// the short. They are defaults that a user may edit and a run may teach:
// common practice, no source.
type Rates struct {
	// Gap is the rate of one millimetre of facing copper at no distance, both
	// edges bare and soldered; it falls by e for each GapFall metres.
	Gap     float64
	GapFall float64 // metres
	// Factors on a gap.
	HalfBare  float64 // one edge under solder mask
	Mask      float64 // both under solder mask
	Inner     float64 // on an inner layer: etch faults only
	NoPaste   float64 // no solder printed within reach
	SamePart  float64 // between pins of one part
	UnderBody float64 // under a part's body
	// Part is the rate of one part of a class with pins on both groups, by
	// the letters of its reference.
	Part      map[string]float64
	OtherPart float64 // for classes not in Part
	// Hole is the rate of one plane clearance on a drilled hole, Layer of one
	// square millimetre of overlap between neighbouring layers.
	Hole  float64
	Layer float64 // per square millimetre
	// Metal is the rate of one millimetre of the edge of bare copper under or
	// beside a marked body.
	Metal float64
	// Elsewhere is the probability of a place that is not listed.
	Elsewhere float64
}

// DefaultRates are the rates to start from.
func DefaultRates() Rates {
	return Rates{Gap: 1, GapFall: 0.25e-3, HalfBare: 0.3, Mask: 0.1, Inner: 0.1, NoPaste: 0.5, SamePart: 2,
		UnderBody: 1.5, Part: map[string]float64{"C": 2, "D": 0.3, "Q": 0.4, "U": 0.4, "J": 0.2, "X": 0.1, "Y": 0.1,
			"L": 0.02, "R": 0.01, "TP": 0, "H": 0}, OtherPart: 0.2, Hole: 0.01, Layer: 0.00002, Metal: 1,
		Elsewhere: 0.03}
}

// part is the rate of a part by the letters of its reference.
func (r Rates) part(ref string) float64 {
	if v, ok := r.Part[refClass(ref)]; ok {
		return v
	}
	return r.OtherPart
}

// facing is the rate of length metres of bare, soldered copper facing copper
// over gap metres.
func (r Rates) facing(length, gap float64) float64 {
	return r.Gap * length * 1e3 * math.Exp(-gap/r.GapFall)
}

// surroundings is the factor on a gap of what covers and surrounds it; bare
// counts its edges free of mask.
func (r Rates) surroundings(inner, paste, samePart, hidden bool, bare int) float64 {
	factor := 1.0
	switch {
	case inner:
		return r.Inner
	case bare == 1:
		factor *= r.HalfBare
	case bare == 0:
		factor *= r.Mask
	}
	if !paste {
		factor *= r.NoPaste
	}
	if samePart {
		factor *= r.SamePart
	}
	if hidden {
		factor *= r.UnderBody
	}
	return factor
}
