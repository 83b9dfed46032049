package locate

import (
	"cmp"
	"math"
)

// Type B divisors (GUM 4.3): from a half-width to a standard uncertainty.
var (
	rectangular = math.Sqrt(3)
	triangular  = math.Sqrt(6)
	uShaped     = math.Sqrt2
	step        = math.Sqrt(12) // of a whole step of resolution, not its half
)

// Component is one line of a reading's uncertainty budget.
type Component struct {
	Name string  // of the source of uncertainty
	Ohms float64 // standard uncertainty
}

// Budget is a reading's uncertainty by its components, those that are zero
// left out, and their combination by the GUM's root sum of squares. What is
// common to several readings (the null, a set-up's offset) is listed with the
// rest; Solve takes it as common. copper and slope are the reading's predicted
// copper in ohms and ohms per metre of tip movement at the place in question.
func (m Meter) Budget(r Reading, c Copper, copper, slope float64) (list []Component, combined float64) {
	add := func(name string, ohms float64) {
		if ohms = math.Abs(ohms); ohms > 0 {
			list = append(list, Component{name, ohms})
			combined = math.Hypot(combined, ohms)
		}
	}
	random, steady := m.parts(r)
	for i := range random {
		if len(r.Touches) > 1 {
			// What differs from touch to touch averages, for those that repeat.
			random[i].Name += ", touched again"
			random[i].Ohms /= math.Sqrt(m.independent(r))
		}
	}
	for _, p := range append(random, steady...) {
		add(p.Name, p.Ohms)
	}
	if r.FourWire {
		add("offset of the volts", m.offset(r))
	} else {
		add("leads after the null", m.NullOhms)
	}
	add("where the tip lands", m.PlacementM*slope)
	add("the solver's own error", c.model(r)*copper)
	add("change of temperature", r.Spread*copper)
	return list, combined
}

// parts are a reading's own components: those that differ from touch to touch,
// and those that do not. A reading's stated uncertainty stands for all.
func (m Meter) parts(r Reading) (random, steady []Component) {
	factor := 1.0
	if r.Doubtful {
		factor = doubtfulFactor
	}
	if r.U > 0 {
		return []Component{{"as stated", factor * r.U}}, nil
	}
	noise, shown := m.NoiseOhms, m.Spec.ResolutionOhms
	if r.FourWire {
		noise, shown = m.NoiseFourWireOhms, cmp.Or(m.Spec.FourWireStepOhms, shown)
	}
	emf := m.Spec.EMFOhms
	if m.differenced(r) {
		emf = 0
	}
	return []Component{{"touch and noise", factor * noise}}, []Component{
		{"share of the reading", factor * m.ReadingFraction * r.Ohms},
		{"meter's specification", factor * m.Spec.limit(r.Ohms) / rectangular},
		{"resolution", factor * shown / step},
		{"thermal EMF", factor * emf / rectangular},
	}
}

// Spec is what the meter's manual states, as limits (half-widths) in ohms, and
// what four-wire volts carry beside.
type Spec struct {
	OfReading      float64 // fraction of the reading
	OfRangeOhms    float64 // the part that is a share of the range
	ResolutionOhms float64 // a whole step of the last digit
	// FourWireStepOhms is the same for four-wire readings, where it differs; 0:
	// as ResolutionOhms. Of volts differenced, √2 steps over the current.
	FourWireStepOhms float64
	EMFOhms          float64 // thermal EMF over the test current; reversing or differencing cancels it
	OffsetOhms       float64 // standard uncertainty of the offset common to a four-wire set-up
	Differenced      bool    // four-wire volts are differences of current on and off
}

func (s Spec) limit(ohms float64) float64 { return s.OfReading*math.Abs(ohms) + s.OfRangeOhms }

// differenced tells whether a reading is free of offsets.
func (m Meter) differenced(r Reading) bool {
	return r.FourWire && (m.Spec.Differenced || r.Differenced)
}

// offset is the standard uncertainty of a reading's offset, ohms.
func (m Meter) offset(r Reading) float64 {
	if !r.FourWire || m.differenced(r) {
		return 0
	}
	return m.Spec.OffsetOhms
}

// rss is the root of the sum of squares.
func rss(list []Component) (u float64) {
	for _, c := range list {
		u = math.Hypot(u, c.Ohms)
	}
	return u
}
