// Package board is the model of a board: copper images, stack-up, holes, pads,
// parts, mask and outline. Package boardread makes it of fabrication files;
// once made it is only read, also by several goroutines at a time. Lengths are
// nanometre integers in plan (y up) and unit.Length in thickness; rings of
// regions run counter-clockwise, their holes clockwise.
package board

import (
	"ohmward/geom"
	"ohmward/unit"
)

// Board is everything the fabrication data tells.
type Board struct {
	Name     string          // of the folder or file
	Layers   []Layer         // L1 (top) first
	Holes    []Hole          // by place
	Pads     []Pad           // layer by layer
	Parts    []Part          // in order of reference
	Labels   []Label         // what the attributes say of copper, for naming nets
	Contacts []Contact       // where the data paints several nets into one piece
	Netlist  []Label         // what a netlist beside the copper says of places
	Mask     [2]*geom.Region // openings, top and bottom; nil where no file tells
	Paste    [2]*geom.Region // printed solder, top and bottom; nil where no file tells
	Outline  geom.Region     // what the profile encloses; empty when unknown
	Stack    Stack           // the build across its thickness
	Files    []File          // what every file was taken for
	Doubts   []Doubt         // what a person should look at
	Partial  bool            // a file was read only in part: what follows is not to be trusted
	Names    []Naming        // names that the user gives nets
	Copies   []Copy          // of a panel, in rows from the lower left; none: one board
	Copy     int             // the copy that was read, from 1; 0: all there is
}

// Side is the side of the board.
type Side int8

// Top is the component side (L1); Bottom the last layer's.
const (
	Top Side = iota
	Bottom
)

// Layer is one copper layer.
type Layer struct {
	Name   string      // "L1" …
	File   string      // that it was read from
	Copper geom.Region // the painted image, taken literally, before drilling
}

// Stack is the build across the board's thickness.
type Stack struct {
	Copper  []unit.Length // per layer
	Gap     []unit.Length // from the middle of layer i to the middle of layer i+1
	Plating unit.Length   // in holes
	Given   bool          // the data gave a stack-up
}

// Hole is a drilled hole, or a slot from At to To.
type Hole struct {
	At, To      geom.Point // ends of its axis; equal for a round hole
	Diameter    int64      // nanometres, the drill file's
	Plated      bool       // a barrel joins the layers of its span
	First, Last int        // first and last layer index (0-based) of its span
	File        string     // that it was read from
	Line        int        // in File; 0: not told
}

// Pad is a land for a part's pin on one layer.
type Pad struct {
	Layer    int         // 0-based
	At       geom.Point  // where it is flashed, or the middle of its shape
	Shape    geom.Region // its own area
	Ref, Pin string      // "C7" and "1"; a Ref without a Pin: whose pin it is, no file tells
	Function string      // first field of .AperFunction, "" when not said
	Net      string      // as the attributes name it
	Hole     int         // index into Holes of the plated hole inside it, or -1
	File     string      // that it was read from
	Line     int         // in File; 0: not told
}

// Part is one component.
type Part struct {
	Ref, Value string     // "C7"; "100n", "" when not known
	Side       Side       // on which it stands
	Pads       []int      // indices into Board.Pads
	Body       geom.Ring  // outline of the body, given or guessed from the pads
	Guessed    bool       // the body is guessed
	Array      bool       // so guessed from a grid of lands, all of them under it
	At         geom.Point // its place as listed, or the middle of the body
	Absent     bool       // the files say: not fitted
}

// Label is one attribute-carrying object of a copper layer: a point inside
// its copper and the net it claims.
type Label struct {
	Layer int        // 0-based
	At    geom.Point // inside copper, or inside a plated hole
	Net   string     // the claimed name, never empty
	File  string     // that it was read from
	Line  int        // in File; 0: not told
}

// Contact is where copper of two nets is one in the data.
type Contact struct {
	Nets  [2]string     // as the attributes name them
	Layer int           // 0-based
	At    [2]geom.Point // the ends of copper without a name between the two; equal where they touch
	File  string        // that it was read from
	Line  int           // in File, of the second net's object; 0: not told
}

// File is one file of the set and what it was taken for.
type File struct {
	Path string // in the set, with forward slashes
	// "copper L1", "mask top", "drill plated 1-2", "profile", "paste top", "legend top", "job", "ignored", …
	Role string
	Why  string // what its role was told by
}

// Doubt is something a practitioner should look at.
type Doubt struct {
	File string // that it is about; "" for the set
	Line int    // in File; 0: the whole file
	What string // in one line, for a person
	Code Code   // of what can be done about it; "" where nothing
	Part bool   // the file was read only in part
}

// Copy is one of several copies of a board in the data, a panel's.
type Copy struct {
	Box    geom.Box // of its outline
	Turned bool     // width and height are the first copy's height and width
}

// Naming is a name that the user gives a net.
type Naming struct {
	Name string // the net's name from now on
	Of   string // a pin, a point as "L1 12.3,4.5", or the net's name without it
	File string // where it is said
}
