package engine

import (
	"ohmward/internal/cache"
	"ohmward/unit"
)

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
	Cache *cache.Store

	// Memory is how many bytes factoring one matrix may take; 0: the default.
	// More is solved by iteration, to the same digits but slower.
	Memory int64
}

// UserCache gives the user's own store of what is costly to compute: see
// keep.User.
func UserCache() *cache.Store { return cache.User() }

// TieEdit is what a person says of a part that joins two nets.
type TieEdit struct {
	Part   string    // or
	Pins   [2]string // of a part on more than two nets, as "Q1.2" and "Q1.3"
	Open   bool      // it joins nothing
	Ohms   unit.Resistance
	Factor float64 // two times out of three the truth lies within this factor; 0: not said
}
