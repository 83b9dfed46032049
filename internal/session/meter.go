package session

import (
	"context"
	"math"

	"ohmward/unit"
)

// Instrument is a meter on the bench, whatever stands behind it: the simulated
// one or a real one on a wire. Values are as the meter shows them: leads
// included, two-wire; the session takes those off.
type Instrument interface {
	// Stream hands on values as they come until ctx ends, which is no error.
	Stream(ctx context.Context, each func(Sample)) error
}

// Sample is one value a meter showed.
type Sample struct {
	Ohms     unit.Resistance // unit.Open for an overload
	FourWire bool            // current and volts apart
	Wire     *WireSample     // of a meter on a wire; nil: of the simulated one
}

// Figures of a steady touch: so many samples alike, within a share of the
// value or a least spread (common practice, no source).
const (
	steadySamples = 5
	steadyShare   = 0.005
	steadyOhms    = 0.2e-3
)

// steady watches samples until a touch has settled.
type steady struct {
	last [steadySamples]float64
	n    int
}

// add takes a sample; yes once the last ones are alike, with their mean.
func (s *steady) add(v Sample) (mean unit.Resistance, yes bool) {
	s.last[s.n%steadySamples] = float64(v.Ohms)
	if s.n++; s.n < steadySamples {
		return 0, false
	}
	low, high, sum, open := math.Inf(1), math.Inf(-1), 0.0, 0
	for _, x := range s.last {
		if math.IsInf(x, 1) {
			open++
			continue
		}
		low, high, sum = min(low, x), max(high, x), sum+x
	}
	switch {
	case open == steadySamples:
		return unit.Open, true
	case open > 0:
		return 0, false
	}
	m := sum / steadySamples
	return unit.Resistance(m), high-low <= max(steadyOhms, steadyShare*math.Abs(m))
}
