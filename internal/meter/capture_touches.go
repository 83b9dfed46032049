package meter

import (
	"math"
	"slices"

	"ohmward/unit"
)

// Touches brings several touches of one place together. For a short read
// two-wire the lowest value that repeats is the one to believe, since a tip on
// flux only adds; four-wire errors go both ways, and the median counts.
type Touches struct {
	FourWire bool
	List     []Touch // in order, raw
}

// touchesWanted is how many touches make a reading.
const touchesWanted = 3

// repeats is how far apart two touches may lie that repeat: so many ohms, or so
// much of the value.
const (
	repeats         unit.Resistance = 1e-3
	repeatsFraction float64         = 0.005
)

// Add takes one more touch.
func (t *Touches) Add(one Touch) { t.List = append(t.List, one) }

// Undo takes the last touch back; false where there is none.
func (t *Touches) Undo() bool {
	if len(t.List) == 0 {
		return false
	}
	t.List = t.List[:len(t.List)-1]
	return true
}

// Wanted is how many more touches the reading needs at least.
func (t *Touches) Wanted() int {
	if _, ok := t.Value(); ok {
		return 0
	}
	return max(1, touchesWanted-len(t.List))
}

// Value is the reading; ok is false as long as there are too few touches, or
// no two of a two-wire reading repeat.
func (t *Touches) Value() (ohms unit.Resistance, ok bool) {
	if len(t.List) < touchesWanted {
		return 0, false
	}
	var v []float64
	for _, one := range t.List {
		v = append(v, float64(one.Ohms))
	}
	slices.Sort(v)
	if t.FourWire {
		return unit.Resistance(middle(v)), true
	}
	for i := range len(v) - 1 {
		if v[i+1]-v[i] <= max(float64(repeats), repeatsFraction*math.Abs(v[i])) {
			return unit.Resistance(v[i]), true
		}
	}
	return 0, false
}
