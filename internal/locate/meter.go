package locate

import (
	"fmt"
	"maps"
	"math"
	"slices"
)

// Meter is what a reading's noise is made of, all standard uncertainties.
type Meter struct {
	NoiseOhms         float64 // one touch, two-wire, contact included, ohms
	NoiseFourWireOhms float64 // the same, four-wire, ohms
	ReadingFraction   float64 // proportional to the reading
	NullOhms          float64 // lead residue left after one null, ohms
	HandHeld          bool    // two-wire touch is skewed upward
	PlacementM        float64 // where a tip lands, metres
	Spec              Spec    // of the meter's manual
}

// profiles are BENCH.md's figures: common practice, no source.
var profiles = map[string]Meter{
	"bench-6.5-digit": {
		NoiseOhms: 0.3e-3, NoiseFourWireOhms: 0.02e-3, ReadingFraction: 0.0005, NullOhms: 0.5e-3,
	},
	"bench-6.5-digit-hand": {
		NoiseOhms: 3e-3, NoiseFourWireOhms: 0.02e-3, ReadingFraction: 0.0005, NullOhms: 2e-3,
		HandHeld: true, PlacementM: 0.3e-3,
	},
}

// Profile gives the meter of that name.
func Profile(name string) (Meter, error) {
	m, ok := profiles[name]
	if !ok {
		return Meter{}, fmt.Errorf("meter: no profile %q; there are %v", name, ProfileNames())
	}
	return m, nil
}

// ProfileNames lists the profiles in alphabetical order.
func ProfileNames() []string {
	return slices.Sorted(maps.Keys(profiles))
}

// check rejects figures that are no uncertainties.
func (m Meter) check() error {
	for _, f := range []struct {
		name  string
		value float64
	}{
		{"noise_ohms", m.NoiseOhms}, {"noise_four_wire_ohms", m.NoiseFourWireOhms},
		{"reading_fraction", m.ReadingFraction}, {"null_ohms", m.NullOhms}, {"placement", m.PlacementM},
		{"the specification's share of the reading", m.Spec.OfReading},
		{"its share of the range", m.Spec.OfRangeOhms},
		{"resolution", m.Spec.ResolutionOhms}, {"thermal EMF over the current", m.Spec.EMFOhms},
		{"the offset over the current", m.Spec.OffsetOhms},
	} {
		if !(f.value >= 0 && f.value <= 1e3) {
			return fmt.Errorf("meter: %s is %g; it must be zero or more, and below 1000", f.name, f.value)
		}
	}
	return nil
}

// sigma is the standard uncertainty of one reading's own noise, ohms, without
// null and placement. It is never zero: a meter without noise would make any
// model impossible.
func (m Meter) sigma(r Reading) float64 {
	random, steady := m.parts(r)
	return math.Max(math.Hypot(rss(random), rss(steady)), minSigma)
}

const (
	doubtfulFactor = 5    // a doubtful reading counts with this many times its uncertainty
	minSigma       = 1e-7 // ohms; below any meter
)

// skewed tells whether a reading's noise is skewed upward: only contact
// resistance is, and four-wire readings are free of it.
func (m Meter) skewed(r Reading) bool { return m.HandHeld && !r.FourWire }
