package bench

import (
	"context"
	"errors"
	"fmt"
	"math"

	"ohmward/internal/locate"
	"ohmward/internal/record"
)

// defaultMeter is the profile taken when a case names none.
const defaultMeter = "bench-6.5-digit"

// meterOf gives the meter of a case: its profile with the case's own figures
// over it.
func meterOf(c record.Meter) (locate.Meter, error) {
	name := c.Profile
	if name == "" {
		name = defaultMeter
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
		m.Hand = c.Touch == "hand"
	}
	if c.Placement != nil {
		m.PlacementM = float64(*c.Placement)
	}
	return m, nil
}

// Defaults of what is known of the copper: outer copper ±20 %, inner ±12 %,
// taken as limits of even chance (BENCH.md, What the copper files do not
// show): 0.09 together.
const (
	defaultScale = 0.09
	// modelError is the solver's own error of one coefficient: what linear
	// elements on the meshes used here differ from the two-sided value.
	modelError = 0.004
)

// knowledgeOf gives how well a case knows its copper. Layers share one factor
// until same-net readings of several layers tell them apart.
func knowledgeOf(c record.Copper) locate.Copper {
	scale, layer := defaultScale, 0.0
	if c.Scale != nil {
		scale = *c.Scale
	}
	if c.Layer != nil {
		layer = *c.Layer
	}
	return locate.Copper{Scale: math.Hypot(scale, layer), Model: modelError}
}

// readingError names the reading an error belongs to.
func readingError(c *record.Case, i int, err error) error {
	return bad(&record.Error{File: c.File, Line: c.Readings[i].Line, What: fmt.Sprintf("reading %d: %v", i+1, err)})
}

// caseError names the case an error belongs to; a hint and the kind stay.
func caseError(c *record.Case, err error) error {
	var known *Error
	switch {
	case errors.Is(err, context.Canceled):
		return err
	case errors.As(err, &known):
		named := *known
		named.What = c.File + ": " + known.What
		return &named
	}
	return bad(&record.Error{File: c.File, What: err.Error()})
}
