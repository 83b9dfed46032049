package locate

import (
	"fmt"
	"slices"
)

// Sides on which a place can be touched; both for a hole.
const (
	Top uint8 = 1 << iota
	Bottom
)

// Probe is a place that a tip can touch.
type Probe struct {
	ID     string  // as the caller names the place
	X, Y   float64 // mm
	Sides  uint8   // Top, Bottom or both
	SizeMM float64 // its smaller width
	Reach  bool    // may be asked for
	Clip   bool    // a clip holds there: a hole, a connector pin, a tail
}

// Table is what one net's places and the sites' contacts on it see of each
// other, in ohms at copper scale 1.
type Table struct {
	Probes []Probe     // of one net
	R      [][]float64 // [place][site] between the place and the site's contact
	G      [][]float64 // [place][site] Green's function, any datum; may be nil
	GP     [][]float64 // [place][place] the same; nil: no four-wire on this net

	ready *Table // as planning has it, once that is worked out
}

// Prepare checks a table for so many sites and works out what planning makes of
// it: whoever plans on it again and again does this once, and changes nothing
// in it any more.
func (t Table) Prepare(net string, sites int) (Table, error) {
	if t.ready != nil && len(t.ready.Probes) == len(t.R) && (len(t.R) == 0 || len(t.R[0]) == sites) {
		return t, nil
	}
	if err := t.check(net, sites); err != nil {
		return t, err
	}
	cut := t.reachable()
	t.ready = &cut
	return t, nil
}

// Without gives the table with some of its places, told by their index, not to be
// asked for.
func (t Table) Without(out func(i int) bool) Table {
	t.ready, t.Probes = nil, slices.Clone(t.Probes)
	for i := range t.Probes {
		t.Probes[i].Reach = t.Probes[i].Reach && !out(i)
	}
	return t
}

func (t Table) check(net string, sites int) error {
	if len(t.R) != len(t.Probes) {
		return fmt.Errorf("net %s has %d rows for %d places", net, len(t.R), len(t.Probes))
	}
	for i, row := range t.R {
		if err := checkRow(row, sites, maxOhms); err != nil || len(row) != sites {
			return fmt.Errorf("net %s: place %s: its row of %d does not suit %d sites (%v)", net,
				t.Probes[i].ID, len(row), sites, err)
		}
	}
	if t.GP == nil {
		return nil
	}
	if len(t.G) != len(t.Probes) || len(t.GP) != len(t.Probes) {
		return fmt.Errorf("net %s: four-wire tables do not match its %d places", net, len(t.Probes))
	}
	for i := range t.G {
		if len(t.G[i]) != sites || len(t.GP[i]) != len(t.Probes) {
			return fmt.Errorf("net %s: four-wire row of place %s has the wrong length", net, t.Probes[i].ID)
		}
	}
	return nil
}

// MoveCosts is what moves cost in seconds, and where everything is now.
// BENCH.md, Reach; common practice, no source.
type MoveCosts struct {
	FourWire                            bool    // a current source or four-wire meter is at hand
	MinSizeMM                           float64 // smaller places are asked for only as a last resort
	MoveOne, MoveBoth, Turn, Clip, Read float64 // seconds; See: to take the reading itself
	At                                  Pose    // where tips and clips stand
}

// Pose is where tips and clips are: indices into the tables, -1 for nowhere.
type Pose struct {
	A, B     int   // two-wire tips on net A and B
	Side     uint8 // side of the board that faces the user; 0: not said
	CurrentA int   // current clips
	CurrentB int   // on net B
	SenseM   int   // held volt tips, and the net they are on
	SenseN   int   // the other volt tip
	SenseOnB bool  // on net B instead of A
}

// DefaultMoveCosts has nothing placed yet and the top facing up.
func DefaultMoveCosts() MoveCosts {
	return MoveCosts{
		MinSizeMM: 0.3, MoveOne: 8, MoveBoth: 15, Turn: 30, Clip: 60, Read: 2,
		At: Pose{A: -1, B: -1, Side: Top, CurrentA: -1, CurrentB: -1, SenseM: -1, SenseN: -1},
	}
}

// Move is a reading to take next.
type Move struct {
	FourWire       bool    // current and volts apart
	From, To       int     // two-wire: places on net A and B
	CurrentA       int     // four-wire: current in on A
	CurrentB       int     // and out on B
	SenseM, SenseN int     // volts between these two
	SenseOnB       bool    // on net B instead of A
	Bits, Seconds  float64 // expected information about the site, and bench time
	Low, High      float64 // ohms expected, nine times in ten
	Why            string  // one clause for people
}
