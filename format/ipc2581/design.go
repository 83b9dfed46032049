// Package ipc2581 reads a board from one IPC-2581 file, revisions A to C: its
// copper, holes, mask, stack-up, parts and nets.
//
// The file is streamed, never held as a tree. Coordinates are integer
// nanometres in the frame of the chosen step, y up; arcs become chords within
// 0.25 micrometres, everything else is exact to the nanometre. Copper layers
// run from top to bottom in the order of the stack-up's sequence numbers. The
// caller owns all that is returned. Several files may be read at once.
package ipc2581

import (
	"ohmward/format/fault"
	"ohmward/geom"
)

// Design is one board.
type Design struct {
	Name     string // of the Ecad element, or of the step
	Revision string // of the format: "A", "B" or "C"
	Step     string // the step that was chosen

	Layers      []Layer     // copper, top to bottom
	Mask, Paste Sides       // mask: the openings, whatever polarity the layer claims
	Profile     []geom.Ring // the outline, for non-zero filling; nanometres
	Holes       []Hole      // drilled and milled, plated or not
	Components  []Component // in the file's order

	// NetPins gives the pins ("R1.2") of each net: as LogicalNet elements
	// declare them, or if there are none (NetsDeclared is false) as the pads
	// that carry a pin and a net say. Ascending, without repeats.
	NetPins      map[string][]string
	NetsDeclared bool              // by LogicalNet elements
	NetClass     map[string]string // CLK, FIXED, GROUND, SIGNAL, POWER, UNUSED
	Points       []NetPoint        // of PhyNet elements
	Shorts       []Short           // intended

	Stack     []StackLayer // top to bottom, dielectrics too
	Thickness int64        // of the whole board as stated, nm; 0: not stated
	Measured  string       // where: LAMINATE, METAL, MASK, OTHER

	CutOff   int             // the line where the file ends before its time; 0: it is whole
	Repeats  []Repeat        // panels that other steps describe
	Warnings []fault.Warning // by line
}

// Sides are the images of a layer that is there on both faces.
type Sides struct {
	Top, Bottom []Object // in painting order
}

// Layer is one copper layer.
type Layer struct {
	Name      string   // as declared
	Side      string   // TOP, BOTTOM or INTERNAL
	Function  string   // CONDUCTOR, SIGNAL, PLANE, MIXED, ...
	Negative  bool     // Objects begin with a flood of the profile
	Thickness int64    // nm; 0: not stated
	Below     int64    // dielectric down to the next copper layer, nm; 0: not stated
	Objects   []Object // in painting order
}

// Object is one step of painting a layer: the non-zero filling of its rings,
// dark or clear.
type Object struct {
	Dark  bool        // false: clears what was painted before it
	Rings []geom.Ring // nanometres
	Net   string      // empty: none given
	// Ref and Pin are the part and pin of a pad; Ref alone is the part that a
	// graphic belongs to.
	Ref, Pin string
	Usage    string     // padUsage: TERMINATION, VIA, PLANE, ...
	IsPad    bool       // drawn by a Pad element
	At       geom.Point // nanometres: a pad's place; otherwise the first corner
	Line     int        // from 1
}

// Hole is a drilled hole or a milled slot.
type Hole struct {
	At, To   geom.Point // nanometres: equal for a round hole, else the slot's end centres
	Diameter int64      // or the slot's width, nm
	Outline  geom.Ring  // the exact outline of a slot or cavity; nil for a round hole
	Plated   bool       // by its status; one without counts as plated
	Status   string     // PLATED, NONPLATED, VIA, VIA_CAPPED
	// First and Last are indices of Design.Layers: the span, inclusive.
	First, Last int
	Net         string // empty: none given
	Line        int    // from 1
}

// Component is one part on the board.
type Component struct {
	Ref, Package, Part, Value string     // Value is of the bill of materials
	Mount                     string     // SMT, THMT, OTHER
	Side                      string     // TOP or BOTTOM
	At                        geom.Point // nanometres
	Rotation                  float64    // degrees, as the file has it
	Mirror                    bool       // x is negated after the rotation
	Body                      geom.Ring  // the package's outline in place, nanometres; nil: not given
	Pins                      []Pin      // of the package, in place
	Absent                    bool       // the bill of materials says: not fitted
	Line                      int        // from 1
}

// Pin is a part's pin in place.
type Pin struct {
	Number string     // or its name
	At     geom.Point // nanometres, on the board
}

// NetPoint is a point of a physical net.
type NetPoint struct {
	Net, Layer string     // by name
	At         geom.Point // nanometres
	Pin        string     // "R1.2", or empty
	Line       int        // from 1

	ref int // how much of Pin names the part
}

// Part gives the part and the number of the point's pin; both empty without.
func (p NetPoint) Part() (ref, pin string) {
	if p.Pin == "" {
		return "", ""
	}
	return p.Pin[:p.ref], p.Pin[p.ref+1:]
}

// Short is a place where nets are meant to touch.
type Short struct {
	Nets []string // by name
	Line int      // from 1
}

// StackLayer is one row of the stack-up.
type StackLayer struct {
	Name, Function string // as the Layer element has them
	Thickness      int64  // nm
	Sequence       int    // rises from the top; 0: not given
	Material       string // as its specification has it; may be empty
	Copper         bool   // one of Design.Layers
}

// Repeat tells that a step places copies of another.
type Repeat struct {
	Panel, Of string // the names of the steps
	NX, NY    int    // copies along x and y
	Line      int    // from 1
}
