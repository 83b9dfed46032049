// Package ipcd356 reads bare-board test netlists (IPC-D-356 and 356A) into
// test points with net, pin and place on integer nanometres, and finds where
// such a netlist lies on a board whose origin is another.
//
// The frame is the file's own, y up. Columns shifted or cut off by careless
// writers are read where their sense is plain, with a warning. Conductor,
// adjacency and outline records (378, 379, 389) are counted, not read. Calls
// may run at the same time; a File belongs to the caller.
package ipcd356

import (
	"ohmward/format/fault"
	"ohmward/geom"
)

// Kind is what a test point is, by its record number.
type Kind uint8

// The kinds of test points.
const (
	Through        Kind = iota // 317: a plated or unplated hole with a land
	Surface                    // 327: a land on one side
	ToolingFeature             // 337
	ToolingHole                // 347
	Unplated                   // 367: a hole without plating
	Hidden                     // 307: a blind or buried via
)

// Side is the side a point can be touched from.
type Side uint8

// The sides. An access layer is on the secondary side when it is the
// greatest that the file names and not the first.
const (
	SideUnknown Side = iota
	SideBoth
	SidePrimary
	SideSecondary
	SideInner
)

// Mask says which sides of a point solder mask covers.
type Mask uint8

// The mask coverage codes S0 to S3.
const (
	MaskNone Mask = iota
	MaskPrimary
	MaskSecondary
	MaskBoth
	MaskUnknown
)

// Record is one test point.
type Record struct {
	Kind     Kind       // by the record's number
	Net      string     // with long-name aliases resolved; "" for a point on no net
	Ref, Pin string     // of the part; both "" for a via
	Via      bool       // the part's name is VIA
	MidPoint bool       // not an end of the net
	At       geom.Point // nanometres
	Hole     int64      // diameter in nanometres; 0: none or not said
	Plated   bool       // the hole is; false too where the record has no hole
	Access   int        // 0 both sides, 1 primary side, else a layer's number; -1 not said
	Side     Side       // of Access
	Size     [2]int64   // of the land along X and Y before rotation, nm; the second 0: round; both 0: not said
	Rotation int        // degrees
	Mask     Mask       // what solder mask covers
	Line     int        // from 1
	Again    bool       // a continuation (017, 027 and so on): another access to the record before
}

// File is one netlist as read.
type File struct {
	Headers  map[string]string // JOB, CODE, UNITS, TITLE, NUM, REV, VER, IMAGE and others, first value of each
	Records  []Record          // the test points in the file's order
	Layers   int               // the greatest access layer named
	Metric   bool              // the unit is 0.001 mm, not 0.0001 inch
	Warnings []fault.Warning   // in the file's order
	Complete bool              // the 999 record was seen

	Unread                            int // test records that could not be read
	Conductors, Adjacencies, Outlines int // lines of 378, 379, 389 and their continuations ignored
}
