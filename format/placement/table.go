// Package placement reads parts tables: pick-and-place (centroid) lists and
// bills of materials as text, with commas, semicolons, tabs or blanks between
// the columns and titles by any of their customary names.
//
// Places are in the table's own frame, in integer nanometres; angles in
// degrees as written, brought into 0 to 360. A text that is no such table is
// not an error: its Kind is None and Why says what is missing. Calls may run
// at the same time; a Table belongs to the caller.
package placement

import (
	"ohmward/format/fault"
	"ohmward/geom"
)

// Kind is what a table tells.
type Kind uint8

// The kinds of tables.
const (
	None      Kind = iota // not a parts table
	Parts                 // a bill of materials: values, no places
	Positions             // a pick-and-place list
)

// String gives the kind in words.
func (k Kind) String() string {
	return [...]string{"no parts table", "bill of materials", "pick-and-place list"}[k]
}

// Side is the side of the board a part sits on.
type Side uint8

// The sides.
const (
	SideUnknown Side = iota
	Top
	Bottom
)

// String gives the side in words.
func (s Side) String() string { return [...]string{"unknown", "top", "bottom"}[s] }

// Row is one part. Of a line that names several, each is a Row.
type Row struct {
	Ref, Value, Package string     // as written; empty where the table does not say
	At                  geom.Point // nanometres, in the table's frame
	HasAt               bool       // At is given
	Rotation            float64    // degrees counter-clockwise as written, 0 to below 360
	HasRotation         bool       // Rotation is given
	Side                Side       // of the board
	NotFitted           bool       // marked as not to be placed
	Line                int        // from 1
}

// Column is a title and what it was taken for.
type Column struct {
	Title string // as written, cut to 40 bytes
	Role  Role   // Unused: ignored
}

// Table is one table as read.
type Table struct {
	Kind      Kind            // what it tells
	Why       string          // of None: what is missing
	Header    int             // line of the titles; 0: there are none, the columns are guessed
	Columns   []Column        // from left to right
	Rows      []Row           // in the table's order, each part once
	LeftOut   int             // lines below the titles that name no part
	UnitGiven bool            // the unit stands in titles, cells or above; else it is guessed
	Warnings  []fault.Warning // in the order in which they were found
}
