// Package record holds what is written down at the bench: case files. A case
// is the board, the two nets, the meter, and the readings and findings so
// far, in order. The package knows no physics: places stay the strings a
// person wrote, and what was not given stays nil.
//
// Quantities are SI in memory; the file's keys carry their units in their
// names. A Case owns its slices.
package record

import (
	"path/filepath"

	"ohmward/unit"
)

// Demo is the board name that stands for the board built in.
const Demo = "demo"

// Case is one case file.
type Case struct {
	File     string    // where it was read from
	Board    string    // as written: relative to the file, or Demo
	Nets     [2]string // names of the two shorted nets
	Note     string    // free text
	Meter    Meter     // and the touch
	Copper   Copper    // what is known of it
	Metal    []Metal   // bodies that the copper files do not show
	Ties     []Tie     // what is said of low-ohm parts
	Readings []Reading // in the order they were taken
	Findings []Finding // in the order they were made
	Nulls    []Null    // of the leads, in their order
	Touches  []Touch   // as an instrument on a wire sent them, in their order
	Steps    *Steps    // nil where no bench leads the case
}

// BoardPath gives the board as a path from the working folder, or Demo.
func (c *Case) BoardPath() string {
	if c.Board == Demo || filepath.IsAbs(c.Board) {
		return c.Board
	}
	return filepath.Join(filepath.Dir(c.File), filepath.FromSlash(c.Board))
}

// Meter is what is known of the meter and the touch; all optional. Standard
// uncertainties throughout.
type Meter struct {
	Profile       string           // a named profile, or ""
	Noise         *unit.Resistance // of one touch, two-wire
	NoiseFourWire *unit.Resistance // of one touch, four-wire
	NoiseVolts    *unit.Voltage    // the same in volts; needs a current
	Amps          *unit.Current    // the meter's test current
	Fraction      *float64         // proportional to the reading
	Null          *unit.Resistance // left after nulling the leads
	Touch         string           // "steady", "hand", or "" when not given
	Placement     *unit.Length     // of where a tip lands
	Tip           *unit.Length     // diameter of its contact
	Spec
}

// Spec is what the meter's own manual states, as limits (half-widths), and
// what four-wire volts carry; all optional.
type Spec struct {
	OfReading   *float64         // percent of the reading
	OfRange     *float64         // percent of the range; needs Range
	Range       *unit.Resistance // the range in use
	Resolution  *unit.Resistance // one step of the last digit
	VoltStep    *unit.Voltage    // the same on the range of volts; needs Amps
	EMF         *unit.Voltage    // thermal EMF of the contacts, half-width; needs Amps
	Offset      *unit.Voltage    // standard uncertainty of four-wire volts' own offset; needs Amps
	Differenced *bool            // four-wire volts are taken with current on less current off
}

// Copper is what is known of the copper; all optional.
type Copper struct {
	Scale     *float64          // standard uncertainty of one factor common to all copper
	Layer     *float64          // of each layer's own factor, on top
	Plated    *float64          // of the plating's factor
	Thickness []unit.Length     // one for all layers, or one each; nil when not given
	Plating   *unit.Length      // thickness in holes
	Board     *unit.Length      // thickness of the board
	Etch      *unit.Length      // how far etching took every copper edge back
	Filled    string            // plated holes that solder fills: "none", "pins", "all", or "" when not given
	Close     *unit.Length      // slits within one net narrower than this are filled
	Temp      *unit.Temperature // of the copper when it was read
	Ties      string            // "auto", "none", or "" when not given
}

// Metal is a shell, shield or screw that the copper files do not show.
type Metal struct {
	Line int    // in the case file
	Part string // its reference
	Net  string // that it is tied to
}

// Reading is one reading: two-wire with From and To, or four-wire with
// Current and Sense. Ohms is always set; Volts and Amps too when the file
// gave them instead.
type Reading struct {
	Line     int              // in the case file
	FourWire bool             // Current and Sense count, not From and To
	From, To string           // places, when two-wire
	Current  [2]string        // I+, I-
	Sense    [2]string        // V+, V-
	Ohms     unit.Resistance  // unit.Open for an overload
	Volts    *unit.Voltage    // nil: not given
	Amps     *unit.Current    // nil: not given
	U        *unit.Resistance // this reading's own standard uncertainty
	// Touches are several touches at the same places, Ohms being the one to
	// go by: the lowest that repeats; four-wire the median.
	Touches     []unit.Resistance
	Differenced *bool  // volts with current on less current off
	Doubtful    *bool  // counts with five times its uncertainty
	Unit        string // "good" for a sound unit of the run, else ""
	Note        string // free text
}

// Finding is what was done or seen, and what came of it.
type Finding struct {
	Line  int    // in the case file
	After int    // how many readings came before it
	Part  string // the part it was done to, or ""
	Place string // the place, or ""
	Done  string // one of Deeds
	Short string // one of Outcomes, or "" when not given
	Note  string // free text

	Seen    string           // of "looked": one of Sights, or ""
	What    string           // of "bridge" seen: one of Substances, or ""
	Side    string           // of what splits a net: a place or net on the side where Short was read
	Reading int              // of "warmed" and "chilled": which reading was watched, from 1; 0: the last
	Change  *unit.Resistance // and by how much it rose
	Kelvin  *float64         // and by how much the copper was warmer; negative: colder

	// Heated is whose pads it heated: parts as "C7", all their pads, or pins as
	// "U3.5"; nil: not said.
	Heated []string
}

// Actions are what can be done or seen.
var Actions = []string{
	"removed", "lifted", "refitted", "replaced", "reflowed", "cleaned", "wicked",
	"looked", "scraped", "cut", "split", "warmed", "chilled", "flexed", "other",
}

// wholeBoard are the actions that need no part or place.
var wholeBoard = []string{"cleaned", "looked", "flexed", "other"}

// Observations are what can be seen at a place: nothing, the short itself, a metal
// body or that there is none, or a warm spot while current runs.
var Observations = []string{"nothing", "bridge", "metal", "no metal", "warm"}

// Substances are what can be seen to bridge two nets.
var Substances = []string{"solder", "strand", "sliver", "part", "dirt"}

// Outcomes are what can come of it. "open" is a short seen open; it is
// "cleared" only once both leads were shown to touch and the board is cool.
var Outcomes = []string{"remains", "open", "gone", "cleared", "changed", "unknown"}
