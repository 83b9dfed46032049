// Package excellon reads drill and rout files (IPC-NC-349, XNC and their
// common dialects) into holes and slots on integer nanometres.
//
// The frame is the file's own, y up. A routed arc becomes slots along chords
// at most 2 um inside it. What a file does not state (unit, zeros) is taken
// from its own numbers, with a warning, and Trusted is false. Calls may run at
// the same time; a File belongs to the caller, but hits share Function slices.
package excellon

import (
	"ohmward/format/fault"
	"ohmward/geom"
)

// Plating says what a file or tool tells about plating.
type Plating uint8

// The three states of knowledge about plating.
const (
	PlatingUnknown Plating = iota
	Plated
	Unplated
)

// Hit is one drilled hole (To == At) or one slot or straight cut from At to To.
type Hit struct {
	At, To   geom.Point // nanometres: where the tool goes down and up
	Diameter int64      // of the tool, nanometres; 0: not given
	Tool     int        // its number; 0: none chosen
	Plating  Plating    // of the hit, its tool or the whole file
	Line     int        // from 1
	Routed   bool       // one cut of a milled way, not a drilled hole or slot
	Function []string   // the tool's .AperFunction and its fields, when given
}

// File is one drill file as read.
type File struct {
	Attributes map[string][]string // X2-style attributes found in comments, by name with the dot
	Hits       []Hit               // in the file's order, repeats and chords of arcs written out
	From, To   int                 // copper layers spanned (from 1) when the file says so, else 0
	Plating    Plating             // of the whole file, when it has one
	Warnings   []fault.Warning     // in the file's order
	Complete   bool                // M30 or M00 was seen
	Metric     bool                // the last unit is the millimetre, not the inch
	// every coordinate had its decimal point, or the file says its zeros and digits
	Trusted bool
}
