// Package picture draws one scene of a board as PNG or SVG: the two nets in
// two calm inks, the suspects as a density of one hue, the best place ringed,
// the next places to touch as large marks, and the readings taken as small
// numbers. The rest of the board is a quiet outline on light paper.
//
// Places are nanometres in the fabrication files' frame, y up, as in package
// geom; a scene of the bottom is mirrored as the board is when turned over.
// The inks differ in lightness as well as in hue, so that they hold apart in
// grey and for any colour vision. A Scene is only read; drawing it twice
// gives the same bytes.
package picture

import (
	"slices"

	"ohmward/geom"
)

// Scene is what to draw. Zero fields are left out.
type Scene struct {
	Title   string      // over the picture
	Caption string      // under it: the finding in one line
	Outline geom.Region // the board's
	Box     geom.Box    // what to show; the zero Box means all of it
	Bottom  bool        // seen from below
	Nets    []Net       // at most two are drawn
	Parts   []Part      // on the side that is seen
	Holes   []Hole      // drawn as bare laminate
	Density []Sample    // where the short could be
	Best    *Best       // nil: none is marked
	Next    []Mark      // the places to touch next, large
	Taken   []Mark      // the places touched already, small
	Checks  []Check     // the readings against prediction, charted under the map
	Named   []geom.Box  // pads that are named: no label stands on them
	// Other is the board's other side, drawn beside this one: its map, density
	// and marks alone, in this one's box. nil: nothing is touched there.
	Other *Scene
}

// Net is one net's copper.
type Net struct {
	Name   string        // for the legend
	Face   geom.Region   // on the side that is seen
	Behind []geom.Region // on the other layers, drawn fainter
}

// Part is the quiet outline of a part's body.
type Part struct {
	Name string    // its reference
	Body geom.Ring // its outline
}

// Hole is a drilled hole; Radius is nanometres.
type Hole struct {
	At     geom.Point // its centre
	Radius int64      // nanometres
}

// Sample is a place where the short could be; Weight is its probability, or
// anything proportional to it.
type Sample struct {
	At     geom.Point // the middle of the place
	Weight float64    // proportional to probability
}

// Best is the best place, with the radius that is claimed, in nanometres.
type Best struct {
	At     geom.Point // the middle of the claim
	Radius int64      // nanometres
	Text   string     // written beside it
}

// Lead is what touches a place.
type Lead uint8

// The leads.
const (
	Red   Lead = iota // a filled disc
	Black             // an open ring
)

// Mark is a place with what is written at it. Sign is one or two letters
// inside the mark: "R", "I+", "3"; a large mark without one has its lead's.
type Mark struct {
	At   geom.Point // the place
	Lead Lead       // that touches it
	Sign string     // inside the mark
	Text string     // beside it; "" for none
}

// drawnNets are those that have an ink.
func (s *Scene) drawnNets() []Net { return s.Nets[:min(len(s.Nets), len(netInks))] }

// heaviest is the greatest weight on either side, so that both are inked alike.
func (s *Scene) heaviest() (most float64) {
	for _, d := range s.Density {
		most = max(most, d.Weight)
	}
	if s.Other != nil {
		most = max(most, s.Other.heaviest())
	}
	return most
}

// bounds gives the box of all that the scene shows.
func (s *Scene) bounds() geom.Box {
	if s.Box != (geom.Box{}) && !s.Box.Empty() {
		return s.Box
	}
	box := geom.EmptyBox()
	regions := []geom.Region{s.Outline}
	for _, n := range s.Nets {
		regions = append(append(regions, n.Face), n.Behind...)
	}
	for _, r := range regions {
		box = box.Join(r.Bounds())
	}
	for _, m := range slices.Concat(s.Next, s.Taken) {
		box = box.Extend(m.At)
	}
	if s.Other != nil {
		for _, m := range slices.Concat(s.Other.Next, s.Other.Taken) {
			box = box.Extend(m.At)
		}
	}
	if box.Empty() {
		box.Min, box.Max = geom.Point{}, geom.FromMM(10, 10)
	}
	return box
}
