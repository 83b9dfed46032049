package engine

import (
	"cmp"
	"context"
	"errors"
	"fmt"

	"ohmward/internal/locate"
	"ohmward/internal/record"
	"ohmward/unit"
)

// DefaultMeter is the profile taken when a case names none.
const DefaultMeter = "bench-6.5-digit"

// MeterOf gives the meter of a case: its profile with the case's own figures
// over it.
func MeterOf(c record.Meter) (locate.Meter, error) {
	m, err := locate.Profile(cmp.Or(c.Profile, DefaultMeter))
	if err != nil {
		return m, err
	}
	put(&m.VoltStep, c.VoltStep)
	if c.Amps != nil {
		m = m.Injected(float64(*c.Amps))
	}
	put(&m.NoiseOhms, c.Noise)
	put(&m.NoiseFourWireOhms, c.NoiseFourWire)
	put(&m.NoiseFourWireOhms, over(c.NoiseVolts, c.Amps))
	put(&m.ReadingFraction, c.Fraction)
	put(&m.NullOhms, c.Null)
	if c.Touch != "" {
		m.HandHeld = c.Touch == "hand"
	}
	put(&m.PlacementM, c.Placement)
	// What the meter's manual states.
	put(&m.Spec.OfReading, c.OfReading)
	m.Spec.OfReading /= 100
	if c.Range != nil {
		put(&m.Spec.OfRangeOhms, c.OfRange)
		m.Spec.OfRangeOhms *= float64(*c.Range) / 100
	}
	put(&m.Spec.ResolutionOhms, c.Resolution)
	put(&m.Spec.EMFOhms, over(c.EMF, c.Amps))
	put(&m.Spec.OffsetOhms, over(c.Offset, c.Amps))
	m.Spec.Differenced = c.Differenced != nil && *c.Differenced
	return m, nil
}

// put sets a figure where it is given.
func put[U, T ~float64](into *U, given *T) {
	if given != nil {
		*into = U(*given)
	}
}

// over gives ohms where both volts and amps are given.
func over(volts *unit.Voltage, amps *unit.Current) *float64 {
	if volts == nil || amps == nil {
		return nil
	}
	return new(float64(*volts) / float64(*amps))
}

// Defaults of what is known of the copper: outer copper ±20 %, inner ±12 %,
// plating ±20 %, each on its own (BENCH.md, What the copper files do not show),
// taken as two standard uncertainties; and a little that all copper shares,
// such as five kelvin.
const (
	defaultScale   = 0.02
	defaultOuter   = 0.10
	defaultInner   = 0.06
	defaultPlating = 0.10
	// The solver's own error: what linear elements on the meshes used here
	// differ by from a finer mesh. On the demo, two-wire, 0.05 % of a
	// coefficient in the median and 0.18 % in nine of ten; four-wire, 0.05 % and
	// 0.38 % of the potentials whose difference is read.
	modelError     = 0.0015
	modelErrorFour = 0.003
)

// CopperUncertainty gives how well the copper is known: one factor common to all,
// then one on top for the plating in holes, for each layer and for each
// low-ohm part.
func (s *Pair) CopperUncertainty(c record.Copper) locate.Copper {
	out := locate.Copper{Scale: defaultScale, Model: modelError, ModelFour: modelErrorFour}
	put(&out.Scale, c.Scale)
	out.Own = append(out.Own, ownFactor(c, c.Plated, defaultPlating))
	for _, set := range s.layerSets {
		usual := defaultInner
		if l := set[0]; l == 0 || l == len(s.Layout.Layers)-1 {
			usual = defaultOuter
		}
		out.Own = append(out.Own, ownFactor(c, c.Layer, usual))
	}
	for _, links := range s.Links {
		for _, l := range links {
			out.Own = append(out.Own, l.Spread)
		}
	}
	return out
}

// ownFactor is the uncertainty of a factor of its own. A case that gives a
// common scale alone means that there is none.
func ownFactor(c record.Copper, given *float64, usual float64) float64 {
	switch {
	case given != nil:
		return *given
	case c.Scale != nil:
		return 0
	}
	return usual
}

// layersApart tells whether a case needs the parts of the copper one by one.
func layersApart(c record.Copper) bool {
	return ownFactor(c, c.Layer, defaultOuter) > 0 || ownFactor(c, c.Plated, defaultPlating) > 0
}

// readingError names the reading an error belongs to.
func readingError(c *record.Case, i int, err error) error {
	return &record.Error{File: c.File, Line: c.Readings[i].Line, What: fmt.Sprintf("reading %d: %v", i+1, err)}
}

// CaseError names the case an error belongs to; a hint and the kind stay.
func CaseError(c *record.Case, err error) error {
	var known *Error
	var named *record.Error
	switch {
	case errors.Is(err, context.Canceled), errors.As(err, &named):
		return err
	case errors.As(err, &known):
		named := *known
		named.What = c.File + ": " + known.What
		return &named
	}
	return &record.Error{File: c.File, What: err.Error()}
}
