package locate

import (
	"cmp"
	"errors"
	"fmt"
	"math"

	"ohmward/internal/suspect"
	"ohmward/unit"
)

// Copper is how well the copper's resistance is known, as standard
// uncertainties relative to the coefficients supplied.
type Copper struct {
	Scale float64   // of one factor common to all copper
	Own   []float64 // of each component's own factor, on top; missing: 0
	Model float64   // of each coefficient by itself: the solver's own error
	// ModelFour is the same of a four-wire reading, of the potentials whose
	// difference it is; 0: Model.
	ModelFour float64
}

func (c Copper) own(l int) float64 {
	if l < len(c.Own) {
		return c.Own[l]
	}
	return 0
}

// usual is the uncertainty of a reading's copper before any reading has shown
// what it is made of: the common factor's and the least of the others, as
// low-ohm parts, which are known worst, seldom lie in the way.
func (c Copper) usual() float64 {
	least := 0.0
	for _, own := range c.Own {
		if own > 0 && (least == 0 || own < least) {
			least = own
		}
	}
	return math.Hypot(c.Scale, least)
}

// model is the solver's own error of a reading's coefficients, relative.
func (c Copper) model(r Reading) float64 {
	if r.FourWire && c.ModelFour > 0 {
		return c.ModelFour
	}
	return c.Model
}

// Reading is one measured value and what the copper predicts for it.
type Reading struct {
	Ohms     float64     // as measured
	U        float64     // its own standard uncertainty, ohms; 0: from the meter
	FourWire bool        // no contact resistance, no lead residue
	SameNet  bool        // both places on one net: the short does not enter
	Null     int         // which null its lead residue belongs to (two-wire)
	C        [][]float64 // [component][site] ohms at scale 1; a row of length 1 holds for every site
	D        float64     // how Rs enters: 1 two-wire across, else 0
	Slope    []float64   // ohms per metre of tip movement, per site or one for all; may be nil
	Doubtful bool        // counts with five times its uncertainty
	Skip     bool        // left out altogether
	Touches  []float64   // several touches at the same places; Ohms is the one to go by
	Setup    int         // four-wire: which set-up its offset belongs to
	// Differenced: four-wire volts with current on less current off.
	Differenced bool
	Spread      float64 // relative uncertainty of all its coefficients, on top of the copper's
	Name        string  // for people, where its number says nothing; may be ""
}

// across tells whether the reading sees the short's own resistance.
func (r Reading) across() bool { return r.D != 0 }

// open tells whether the reading cannot come from a metallic short.
func (r Reading) open() bool { return r.across() && r.Ohms > OpenOhms }

// at gives row[s], or the only value of a row that holds for every site.
func at(row []float64, s int) float64 {
	if len(row) == 1 {
		return row[0]
	}
	return row[s]
}

// total is Predict at every site; one value where it holds for all.
func (r Reading) total(sites int) []float64 {
	wide := 1
	for _, row := range r.C {
		wide = max(wide, len(row))
	}
	out := make([]float64, min(wide, sites))
	for s := range out {
		out[s] = r.Predict(s)
	}
	return out
}

// Predict is the copper's part of the reading at scale 1, ohms.
func (r Reading) Predict(s int) (ohms float64) {
	for _, row := range r.C {
		ohms += at(row, s)
	}
	return ohms
}

const (
	// OpenOhms is where a two-wire reading across the nets is no short any
	// more: a metallic short reads under about 1 Ω (BENCH.md, Swap and range
	// test), a dry one up to 5 Ω; twice that leaves no doubt.
	OpenOhms = 10

	maxReadings = 2000
)

// Case is all that is known: the places, the readings in the order taken, and
// the findings with their place in that order.
type Case struct {
	Sites     []suspect.Site // the listed places, and behind them the unlisted
	Index     *SiteIndex     // of Sites, where the caller keeps it; may be nil
	Elsewhere float64        // prior of a place not listed; sites and it sum to 1
	// Unlisted counts the last of Sites that are not listed: they stand, coarsely,
	// for places elsewhere, and their probabilities count as its.
	Unlisted int
	Readings []Reading // in the order taken
	Findings []Finding // in the order made
	Meter    Meter     // that took the readings
	Copper   Copper    // how well the copper is known
	// Loop gives, in ohms at scale 1, the copper between the contacts of two
	// sites on net A plus that between their contacts on net B. nil: two
	// bridges at once are not tried where one does not fit. It is asked from
	// several goroutines, for many s with one t, and often for the same again.
	Loop func(s, t int) float64
	// Drive gives, for a four-wire reading, what a two-wire one at its current
	// contacts has as coefficients: how two bridges share its current. nil:
	// four-wire readings do not count for two bridges.
	Drive func(reading int) []float64
}

// listed counts the places that are listed: they come first.
func (c Case) listed() int { return len(c.Sites) - c.Unlisted }

// Check tells what makes the case impossible to work with.
func (c Case) Check() error {
	switch {
	case len(c.Sites) == 0:
		return fmt.Errorf("no place is listed where the two nets could touch")
	case c.Unlisted < 0 || c.Unlisted >= len(c.Sites):
		return fmt.Errorf("%d of %d places are not listed; one at least must be", c.Unlisted, len(c.Sites))
	case !(c.Elsewhere >= 0 && c.Elsewhere < 1):
		return fmt.Errorf("prior for elsewhere is %g; it must be in 0..1", c.Elsewhere)
	case len(c.Readings) > maxReadings:
		return fmt.Errorf("%d readings; at most %d", len(c.Readings), maxReadings)
	}
	return cmp.Or(c.Meter.check(), c.Copper.check(), c.checkPriors(), c.checkReadings(), c.checkFindings())
}

func (c Case) checkReadings() error {
	for i, r := range c.Readings {
		if err := c.checkReading(r); err != nil {
			return fmt.Errorf("reading %d: %w", i+1, err)
		}
	}
	return nil
}

func (c Case) checkPriors() error {
	sum := 0.0
	for i, s := range c.Sites {
		if !(s.Prior >= 0) || math.IsInf(s.Prior, 1) {
			return fmt.Errorf("site %d has prior %g", i, s.Prior)
		}
		sum += s.Prior
	}
	if sum == 0 {
		return fmt.Errorf("every listed place has prior zero")
	}
	return nil
}

func (c Copper) check() error {
	for _, v := range append([]float64{c.Scale, c.Model, c.ModelFour}, c.Own...) {
		if !(v >= 0 && v < 1) {
			return fmt.Errorf("a scale uncertainty is %g; it is a fraction, 0 or more and below 1", v)
		}
	}
	return nil
}

// Beyond these a number is no reading of copper; they keep all sums finite.
const (
	maxOhms  = 1e6 // of a coefficient or an uncertainty
	maxSlope = 1e6 // ohms per metre
	overload = 1e9 // what stands for OL
)

func (c Case) checkReading(r Reading) error {
	switch {
	case math.IsNaN(r.Ohms) || math.IsInf(r.Ohms, 0):
		return fmt.Errorf("value %g is not a number of ohms", r.Ohms)
	case r.Ohms >= overload && !r.open():
		return errors.New("OL cannot come from copper: does a tip not touch, or are the two places cut apart?")
	case math.Abs(r.Ohms) > maxOhms && !r.open():
		return fmt.Errorf("%v cannot come from copper; is a tip off?", unit.Resistance(r.Ohms))
	case !(r.U >= 0 && r.U <= maxOhms):
		return fmt.Errorf("uncertainty %g ohm; it must be zero or more", r.U)
	case !(math.Abs(r.D) <= 1e3):
		return fmt.Errorf("factor of the short's resistance is %g", r.D)
	}
	for l, row := range r.C {
		if err := checkRow(row, len(c.Sites), maxOhms); err != nil {
			return fmt.Errorf("component %d: %w", l, err)
		}
	}
	if r.Slope != nil {
		if err := checkRow(r.Slope, len(c.Sites), maxSlope); err != nil {
			return fmt.Errorf("slope: %w", err)
		}
	}
	u := math.Hypot(c.Meter.sigma(r), c.Meter.NullOhms)
	if !r.FourWire && r.Ohms < -4*u {
		return fmt.Errorf("two-wire value %v is negative beyond four times its uncertainty of %v: null the leads "+
			"again, or swap them", unit.Resistance(r.Ohms), unit.Resistance(u))
	}
	return nil
}

func checkRow(row []float64, sites int, most float64) error {
	if len(row) != 1 && len(row) != sites {
		return fmt.Errorf("%d coefficients for %d sites", len(row), sites)
	}
	for s, v := range row {
		if !(math.Abs(v) <= most) {
			return fmt.Errorf("coefficient %g at site %d is no number of ohms", v, s)
		}
	}
	return nil
}
