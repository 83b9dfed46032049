package meter

import (
	"fmt"
	"math"
	"time"

	"ohmward/unit"
)

// Null is what the leads read while their tips were held together.
type Null struct {
	Ohms     unit.Resistance
	Spread   unit.Resistance // robust, of one sample
	Range    unit.Resistance // that it was taken on; it is good for no other
	Taken    time.Time
	Readings int // taken since
}

// When a null is to be renewed, and how far a fixed place may move until then
// (BENCH.md: 5 minutes, 10 readings, 2 mΩ); and what leads may read at most.
const (
	nullAge                      = 5 * time.Minute
	nullReadings                 = 10
	nullMoves    unit.Resistance = 2e-3
	mostLeads    unit.Resistance = 5
)

// Nulling takes the leads' ohms off two-wire readings, in one place only: by the
// meter's own null, which the program then leaves alone, or by the program. The
// zero value takes nothing off.
type Nulling struct {
	inMeter bool
	null    *Null
	fixed   *unit.Resistance // the fixed place, after the null
}

// InMeter says that the meter's own null is on: the program takes nothing off.
func (n *Nulling) InMeter() error {
	if n.null != nil {
		return fmt.Errorf("the program takes %v off already: forget its null before the meter's own is used",
			n.null.Ohms)
	}
	n.inMeter = true
	return nil
}

// Forget ends any null.
func (n *Nulling) Forget() { *n = Nulling{} }

// Take takes a steady touch of the tips on each other as the null.
func (n *Nulling) Take(t Touch) (Null, error) {
	switch last := t.Samples[len(t.Samples)-1]; {
	case n.inMeter:
		return Null{}, fmt.Errorf("the meter's own null is on: the program takes no second one off")
	case t.FourWire || last.Function != Resistance:
		return Null{}, fmt.Errorf("only two-wire ohms have leads to be nulled")
	case t.Ohms.IsOpen() || t.Ohms > mostLeads || t.Ohms < -mostLeads:
		return Null{}, fmt.Errorf("%v is not what leads read: hold both tips on one pad", t.Ohms)
	default:
		n.null, n.fixed = &Null{Ohms: t.Ohms, Spread: t.Spread, Range: last.Range, Taken: t.Taken}, nil
	}
	return *n.null, nil
}

// Apply takes the null off a touch and counts it. A range other than the null's
// is an error; four-wire ohms stay as they are.
func (n *Nulling) Apply(t Touch) (unit.Resistance, error) {
	if n.null == nil || t.FourWire {
		return t.Ohms, nil
	}
	if rng := t.Samples[len(t.Samples)-1].Range; rng != n.null.Range {
		return 0, fmt.Errorf("the null belongs to the range of %v, this was read on that of %v: "+
			"null again, and hold the range",
			n.null.Range, rng)
	}
	n.null.Readings++
	return t.Ohms - n.null.Ohms, nil
}

// Fixed takes a touch of the fixed place, the null taken off. An error says that
// it has moved since the first one, and that what lies between is doubtful.
func (n *Nulling) Fixed(ohms unit.Resistance) error {
	if n.fixed == nil {
		n.fixed = &ohms
		return nil
	}
	if moved := ohms - *n.fixed; math.Abs(float64(moved)) > float64(nullMoves) {
		return fmt.Errorf("the fixed place has moved by %v: null again; "+
			"readings since it was last touched are doubtful", moved)
	}
	return nil
}

// Due says why a null is to be taken now, or "".
func (n *Nulling) Due(now time.Time) string {
	switch {
	case n.inMeter:
		return ""
	case n.null == nil:
		return "the leads are not nulled yet"
	case now.Sub(n.null.Taken) >= nullAge:
		return fmt.Sprintf("the null is %.0f minutes old", now.Sub(n.null.Taken).Minutes())
	case n.null.Readings >= nullReadings:
		return fmt.Sprintf("%d readings were taken since the null", n.null.Readings)
	}
	return ""
}
