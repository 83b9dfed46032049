package locate

import (
	"fmt"
	"math"
	"slices"
)

// UnitError says that a value looks like milliohms typed as ohms, or the
// other way round: notice and ask.
type UnitError struct {
	Reading int     // index in the case
	Ohms    float64 // as given
	Likely  float64 // ohms
}

func (e *UnitError) Error() string {
	typed, meant := "milliohms", "ohms"
	if e.Likely > e.Ohms {
		typed, meant = "ohms", "milliohms"
	}
	return fmt.Sprintf("reading %d: %s does not suit this copper, %s would: %s typed where %s belong?",
		e.Reading+1, Meter{}.Text(e.Ohms, false), Meter{}.Text(e.Likely, false), typed, meant)
}

// checkUnits compares each value with what the copper can give. A value is
// suspect when it is far outside the range of predictions and a thousandth (or
// thousand times) of it lies inside. The limits: a metallic short adds less
// than 1 ohm to its copper, and copper reads from half of the least prediction
// to half more than the greatest. Suspect values across the short that agree
// with each other are a real resistance, which reads the same everywhere;
// copper does not. A value that the short does not enter has no such excuse.
func (c Case) checkUnits() error {
	big, small, plain := []int{}, []int{}, 0
	for i, r := range c.Readings {
		if r.Skip {
			continue
		}
		switch c.unitOf(r) {
		case inMilli:
			if !r.across() {
				return c.unitError(i, 1e-3)
			}
			big = append(big, i)
		case inKilo:
			small = append(small, i)
		default:
			if !r.FourWire && r.Ohms < 1 {
				plain++
			}
		}
	}
	if len(big) > 0 && (plain > 0 || c.varies(big)) {
		return c.unitError(big[0], 1e-3)
	}
	if len(small) > 0 {
		return c.unitError(small[0], 1e3)
	}
	return nil
}

// perhapsMilli asks, where a thousandth of every open reading would suit the
// copper, whether milliohms were meant.
func (c Case) perhapsMilli() string {
	unfit := func(r Reading) bool { return !r.Skip && r.open() && c.unitOf(r) != inMilli }
	if slices.ContainsFunc(c.Readings, unfit) {
		return ""
	}
	return "; but a thousandth of each would suit this copper: were milliohms typed as ohms?"
}

func (c Case) unitError(i int, factor float64) error {
	v := c.Readings[i].Ohms
	return &UnitError{i, v, v * factor}
}

// unitFit is how a value suits the copper.
type unitFit uint8

const (
	asTyped unitFit = iota
	inMilli         // a thousandth of it would suit
	inKilo          // a thousand times it would
)

// unitOf judges one value by itself.
func (c Case) unitOf(r Reading) unitFit {
	low, high := c.range1(r)
	if r.FourWire && !r.SameNet {
		// Zero and both signs are to be expected: only a value that no copper
		// gives speaks.
		most := math.Max(math.Abs(low), math.Abs(high))
		if v := math.Abs(r.Ohms); v > 1 && v > 20*most && v/1000 < 1.5*most {
			return inMilli
		}
		return asTyped
	}
	slack := 4 * math.Hypot(c.Meter.sigma(r), c.Meter.NullOhms)
	extra := choose(r.across(), 0.3, 0) // what a short's own resistance may add to its copper, ohms
	fits := func(v float64) bool { return v > 0.5*low && v < 1.5*high+extra }
	switch {
	case r.Ohms > 1 && r.Ohms > 20*high && fits(r.Ohms/1000):
		return inMilli
	case r.Ohms > 0 && r.Ohms < 0.02*low-slack && fits(r.Ohms*1000):
		return inKilo
	}
	return asTyped
}

// varies tells whether the values differ by a quarter, as copper makes them;
// one alone is suspect above 5 ohm, where no dry short reaches (BENCH.md).
func (c Case) varies(list []int) bool {
	if len(list) == 1 {
		return c.Readings[list[0]].Ohms > 5
	}
	low, high := math.Inf(1), 0.0
	for _, i := range list {
		low, high = math.Min(low, c.Readings[i].Ohms), math.Max(high, c.Readings[i].Ohms)
	}
	return high-low > 0.25*high
}

// range1 is the least and greatest prediction over the places, ohms.
func (c Case) range1(r Reading) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for s := range c.Sites {
		if v := r.Predict(s); v < Unreached {
			low, high = math.Min(low, v), math.Max(high, v)
		}
	}
	return low, high
}
