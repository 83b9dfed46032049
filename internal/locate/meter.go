package locate

import (
	"cmp"
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
	VoltNoise         float64 // of one value on a range of volts, volts; with a supply's current
	VoltStep          float64 // one step of that range, volts; 0: the meter reads four-wire by itself
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
	"bench-5.5-digit": {
		NoiseOhms: 0.5e-3, NoiseFourWireOhms: 0.3e-3, ReadingFraction: 0.001, NullOhms: 0.6e-3,
		Spec: Spec{ResolutionOhms: 1e-3, FourWireStepOhms: 1e-3},
	},
	"milliohm-four-wire": {
		NoiseOhms: 0.3e-3, NoiseFourWireOhms: 0.02e-3, ReadingFraction: 0.003, NullOhms: 0.1e-3,
		Spec: Spec{ResolutionOhms: 0.1e-3, FourWireStepOhms: 0.1e-3},
	},
	"hand-4.5-digit": {
		NoiseOhms: 3e-3, ReadingFraction: 0.003, NullOhms: 3.5e-3, HandHeld: true, PlacementM: 0.3e-3,
		VoltNoise: 3e-6, VoltStep: 10e-6, Spec: Spec{ResolutionOhms: 0.01},
	},
	"hand-3.5-digit": {
		NoiseOhms: 3e-3, ReadingFraction: 0.008, NullOhms: 29e-3, HandHeld: true, PlacementM: 0.3e-3,
		VoltNoise: 30e-6, VoltStep: 100e-6, Spec: Spec{ResolutionOhms: 0.1},
	},
}

// usualAmps is the current that a supply sends where none is stated: the last
// of BENCH.md's steps.
const usualAmps = 0.2

// Injected gives the meter with four-wire readings as volts over a current that
// a supply sends, on less off. A meter that reads four-wire by itself stays.
func (m Meter) Injected(amps float64) Meter {
	if m.VoltStep > 0 {
		m.NoiseFourWireOhms = m.VoltNoise / amps
		m.Spec.FourWireStepOhms = math.Sqrt2 * m.VoltStep / amps
	}
	return m
}

// OneTouch is the standard deviation of one value, ohms: the touch, and the
// step that it is shown in.
func (m Meter) OneTouch(fourWire bool) float64 {
	if fourWire {
		return math.Hypot(m.NoiseFourWireOhms, cmp.Or(m.Spec.FourWireStepOhms, m.Spec.ResolutionOhms)/step)
	}
	return math.Hypot(m.NoiseOhms, m.Spec.ResolutionOhms/step)
}

// Profile gives the meter of that name.
func Profile(name string) (Meter, error) {
	m, ok := profiles[name]
	if !ok {
		return Meter{}, fmt.Errorf("meter: no profile %q; there are %v", name, ProfileNames())
	}
	return m.Injected(usualAmps), nil
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
		{"resolution", m.Spec.ResolutionOhms}, {"resolution, four-wire", m.Spec.FourWireStepOhms},
		{"thermal EMF over the current", m.Spec.EMFOhms},
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
