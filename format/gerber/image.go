// Package gerber reads layer images in the Gerber format (Ucamco's Gerber
// Layer Format Specification, X2 and the older dialects) into outlines on
// integer nanometres, with file, aperture and object attributes.
//
// The frame is the file's own, y up. Every curve becomes chords that stray at
// most 0.25 um from it and enclose the same area; discs and lines keep their
// extents. All else is exact to the nanometre. Outlines run counter-clockwise,
// holes clockwise; rings of one object may overlap and are meant for non-zero
// filling.
//
// Attributes are reported as they stand in the file: some writers leave a pin
// standing on vias and regions, and it is for the caller to judge.
//
// An Image belongs to the caller, but objects share attribute slices (Nets,
// Function) with one another: do not change those. Nothing here is kept
// between calls; calls may run at the same time.
package gerber

import (
	"ohmward/format/fault"
	"ohmward/geom"
)

// Kind says how an object was made.
type Kind uint8

// The kinds of graphical object.
const (
	Flash Kind = iota
	Draw
	Arc
	Fill // a G36/G37 region
)

// Object is one graphical object of an image, in painting order. Its shape is
// the non-zero filling of Rings; a hole in a flashed aperture shows what lies
// below and does not clear it. A contour of a region statement is an object of
// its own. An aperture of no size leaves Rings empty: it paints nothing, but
// its way (At, Via, To) stands, since outlines are drawn so.
type Object struct {
	Kind     Kind         // how it was made
	Dark     bool         // false: clears what was painted before it
	Rings    []geom.Ring  // its shape, nanometres
	At       geom.Point   // nanometres: a flash's place, a draw's start, a region's first point
	To       geom.Point   // a draw's or arc's end; else At
	Via      []geom.Point // an arc's places between At and To along its centre line
	Aperture int          // D code; 0 for regions
	Line     int          // 1-based line in the file

	Function []string // .AperFunction and its fields
	Nets     []string // .N; nil: not said; one empty name: no net
	Ref      string   // .P or .C
	Pin      string   // .P; empty when not said
	PinName  string   // .P's function
}

// Image is one Gerber file as read.
type Image struct {
	Attributes map[string][]string // file attributes by name with the dot, e.g. ".FileFunction"
	Objects    []Object            // in painting order, steps and blocks written out
	Warnings   []fault.Warning     // in the file's order
	Complete   bool                // the M02 was seen
	Bounds     geom.Box            // nanometres: of all dark objects, before clearing
	Negative   bool                // the deprecated IPNEG: what is painted is open
}
