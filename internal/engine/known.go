package engine

import (
	"context"
	"errors"
	"fmt"

	"ohmward/internal/locate"
	"ohmward/internal/record"
)

// DefaultMeter is the profile taken when a case names none.
const DefaultMeter = "bench-6.5-digit"

// MeterOf gives the meter of a case: its profile with the case's own figures
// over it.
func MeterOf(c record.Meter) (locate.Meter, error) {
	name := c.Profile
	if name == "" {
		name = DefaultMeter
	}
	m, err := locate.Profile(name)
	if err != nil {
		return m, err
	}
	if c.Noise != nil {
		m.NoiseOhms = float64(*c.Noise)
	}
	if c.NoiseFourWire != nil {
		m.NoiseFourWireOhms = float64(*c.NoiseFourWire)
	}
	if c.NoiseVolts != nil && c.Amps != nil {
		m.NoiseFourWireOhms = float64(*c.NoiseVolts) / float64(*c.Amps)
	}
	if c.Fraction != nil {
		m.ReadingFraction = *c.Fraction
	}
	if c.Null != nil {
		m.NullOhms = float64(*c.Null)
	}
	if c.Touch != "" {
		m.HandHeld = c.Touch == "hand"
	}
	if c.Placement != nil {
		m.PlacementM = float64(*c.Placement)
	}
	specOf(&m, c)
	return m, nil
}

// specOf adds what the meter's manual states.
func specOf(m *locate.Meter, c record.Meter) {
	value := func(x *float64) float64 {
		if x == nil {
			return 0
		}
		return *x
	}
	m.Spec.OfReading = value(c.OfReading) / 100
	if c.Range != nil {
		m.Spec.OfRangeOhms = value(c.OfRange) / 100 * float64(*c.Range)
	}
	if c.Resolution != nil {
		m.Spec.ResolutionOhms = float64(*c.Resolution)
	}
	if c.EMF != nil && c.Amps != nil {
		m.Spec.EMFOhms = float64(*c.EMF) / float64(*c.Amps)
	}
	if c.Offset != nil && c.Amps != nil {
		m.Spec.OffsetOhms = float64(*c.Offset) / float64(*c.Amps)
	}
	m.Spec.Differenced = c.Differenced != nil && *c.Differenced
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
	scale := defaultScale
	if c.Scale != nil {
		scale = *c.Scale
	}
	out := locate.Copper{Scale: scale, Model: modelError, ModelFour: modelErrorFour}
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
