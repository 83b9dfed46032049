package locate

import (
	"math"
	"slices"
)

// Several touches at one place. A tip on flux or a slipped tip only adds
// resistance, so the lowest that repeats is believed, not the mean (BENCH.md,
// Readings). With tips that are clipped or steady, the touches that repeat are
// averaged: what differs from touch to touch goes down with their number, what
// the meter, the leads and the solver do to all alike does not. With tips held
// by hand the skewed law of each touch is multiplied out, which does the same
// and needs no rule. Four-wire values are free of the touch and err both ways:
// there the median counts.

// repeatOhms is how near touches must be to count as repeating: about a
// milliohm, or three deviations of a difference where the touch is noisier.
const repeatOhms = 1.0e-3

// repeating gives the touches that are believed, lowest first: the lowest that
// another repeats and all that repeat it; the lowest alone where none does.
func (m Meter) repeating(r Reading) []float64 {
	if len(r.Touches) == 0 {
		return []float64{r.Ohms}
	}
	random, _ := m.parts(r)
	near := math.Max(repeatOhms, 3*math.Sqrt2*rss(random))
	sorted := slices.Clone(r.Touches)
	slices.Sort(sorted)
	if r.FourWire { // its errors go both ways: the median
		n := len(sorted)
		return sorted[(n-1)/2 : n/2+1]
	}
	for i, low := range sorted {
		n := i + 1
		for n < len(sorted) && sorted[n]-low <= near {
			n++
		}
		if n-i > 1 {
			return sorted[i:n]
		}
	}
	return sorted[:1]
}

// touched is a reading with its touches made one value, and of skewed ones
// what each lies above it.
func (m Meter) touched(r Reading) (Reading, []float64) {
	if len(r.Touches) == 0 || r.open() {
		return r, nil
	}
	list := m.repeating(r)
	if m.skewed(r) {
		r.Ohms = list[0]
		var above []float64
		for _, t := range r.Touches {
			above = append(above, t-r.Ohms)
		}
		return r, above
	}
	sum := 0.0
	for _, t := range list {
		sum += t
	}
	r.Ohms = sum / float64(len(list))
	return r, nil
}

// independent is how many touches tell as much as those of a reading together: a
// median tells 2/π of what their mean would.
func (m Meter) independent(r Reading) float64 {
	if n := len(r.Touches); r.FourWire && n > 2 {
		return float64(n) * 2 / math.Pi
	}
	return float64(len(m.repeating(r)))
}

// averaged is the reading's own standard uncertainty with its touches taken
// together.
func (m Meter) averaged(r Reading) float64 {
	random, steady := m.parts(r)
	n := 1.0
	if !m.skewed(r) {
		n = m.independent(r)
	}
	return math.Max(math.Hypot(rss(random)/math.Sqrt(n), rss(steady)), minSigma)
}
