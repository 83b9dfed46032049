// Package bench holds the use cases: what a person at a bench asks of the
// program, each as one function that takes plain strings and quantities and
// gives back one answer struct. The command line, the page and the report
// reach the physics through it alone.
//
// Answers are the JSON contract: every struct here prints as one JSON object,
// lengths in millimetres in the fabrication files' own frame (y up),
// resistances in ohms. Fields may be added; none is ever renamed or dropped.
package bench

import (
	"ohmward/internal/cache"
	"ohmward/unit"
)

// Schema is the version of the JSON answers.
const Schema = 1

// Header opens every answer.
type Header struct {
	Schema int `json:"schema"`
}

// NewHeader gives the header of the present schema.
func NewHeader() Header { return Header{Schema: Schema} }

// Cost says what an answer took; it is printed only when asked for.
type Cost struct {
	Timing    map[string]float64 `json:"timing,omitempty"` // seconds by stage, and "total"
	PeakRSSMB float64            `json:"peak_rss_mb,omitempty"`
}

// Spent gives the cost, so that a printer can clear it in any answer.
func (c *Cost) Spent() *Cost { return c }

// Options are the figures a person may give over the data's own. A figure
// counts only where its Given flag is set; the case file's keys and then the
// defaults stand otherwise.
type Options struct {
	Copper         unit.Length   // thickness, every layer
	CopperEach     []unit.Length // thickness per layer, from a case file; Copper given wins
	Plating        unit.Length   // in holes
	Thickness      unit.Length   // of the board; given means equal spacing
	Tip            unit.Length   // diameter of a probe contact
	Close          unit.Length   // fill same-net slits narrower than this
	Etch           unit.Length   // how far etching took every copper edge back
	Filled         string        // plated holes that solder fills: "none", "pins" or "all"; "": not said, none
	Temp           unit.Temperature
	Ties           string // "auto" or "none"
	TieEdits       []TieEdit
	Copy           string      // which copy of a panel: "2" or "all"; "": not said
	Roles          []string    // what files are, as "plane.art=copper L2"
	Accuracy       float64     // relative half-width of a resistance's bracket; 0: the default
	Parts          bool        // tell what a resistance is made of, and what it follows
	Warm           []string    // spots to tell the effect of a kelvin at
	WarmRadius     unit.Length // of those spots; 0: the default
	GivenCopper    bool
	GivenPlating   bool
	GivenThickness bool
	GivenTip       bool
	GivenClose     bool
	GivenEtch      bool
	GivenTemp      bool
	GivenTies      bool

	// Progress, when not nil, is told the name of each stage as it starts.
	// It may be called from any goroutine, one call at a time.
	Progress func(stage string)

	// Kept, when not nil, is where what is costly to compute from a board's
	// files is looked up and kept. The answers are the same without it.
	Kept *cache.Store

	// Memory is how many bytes factoring one matrix may take; 0: the default.
	// More is solved by iteration, to the same digits but slower.
	Memory int64
}

// UserKept gives the user's own store of what is costly to compute: see
// keep.User.
func UserKept() *cache.Store { return cache.User() }

// TieEdit is what a person says of a part that joins two nets.
type TieEdit struct {
	Part   string    // or
	Pins   [2]string // of a part on more than two nets, as "Q1.2" and "Q1.3"
	Open   bool      // it joins nothing
	Ohms   unit.Resistance
	Factor float64 // two times out of three the truth lies within this factor; 0: not said
}

// Pair is two places as a person writes them: "C7.1" or "L1@12.30,45.60".
type Pair struct {
	From string `json:"from"`
	To   string `json:"to"`
}

// Place is where a contact stands.
type Place struct {
	Layer string  `json:"layer"` // "L1" is the top
	X     float64 `json:"x_mm"`
	Y     float64 `json:"y_mm"`
	Pin   string  `json:"pin"` // "C7.1", or "" off any pin
}

// Doubt is something a practitioner should look at.
type Doubt struct {
	File string `json:"file"`
	Line int    `json:"line"`
	What string `json:"what"`
	Code string `json:"code,omitempty"` // where something can be done about it: "panel"
}

// Range is three points of a distribution, in ohms: 5 %, half, 95 %.
type Range struct {
	Low    float64 `json:"low"`
	Median float64 `json:"median"`
	High   float64 `json:"high"`
}
