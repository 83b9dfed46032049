package engine

import (
	"ohmward/internal/board"
	"ohmward/internal/cache"
	"ohmward/unit"
)

// Options are the figures a person may give over the data's own. What is nil
// or empty is not given: the case file's keys stand then, the data, and last the
// defaults.
type Options struct {
	Copper     *unit.Length      // thickness, every layer
	CopperEach []unit.Length     // thickness per layer, from a case file; Copper wins
	Plating    *unit.Length      // in holes
	Thickness  *unit.Length      // of the board; given means equal spacing
	Tip        *unit.Length      // diameter of a probe contact
	Close      *unit.Length      // fill same-net slits narrower than this
	Etch       *unit.Length      // how far etching took every copper edge back
	Filled     string            // plated holes that solder fills: "none", "pins" or "all"
	Temp       *unit.Temperature // of the copper
	Ties       string            // whether low-ohm parts join nets: "auto" or "none"
	TieEdits   []TieEdit         // overrides for single parts; the last of a part wins
	Copy       string            // which copy of a panel: "2" or "all"
	Roles      []string          // what files are, as "plane.art=copper L2"
	Accuracy   float64           // relative half-width of a resistance's bracket; 0: the default
	Parts      bool              // tell what a resistance is made of, and what it follows
	Warm       []string          // spots to tell the effect of a kelvin at
	WarmRadius unit.Length       // of those spots; 0: the default

	// Progress, when not nil, is given the name of each stage as it starts.
	// It may be called from any goroutine, one call at a time.
	Progress func(stage string)

	// Early, when not nil, is handed what can be drawn of a board while the rest of it is
	// still read, several times: see boardread.Options.
	Early func(*board.Board)

	// Cache, when not nil, is where what is costly to compute from a board's
	// files is looked up and stored. The answers are the same without it.
	Cache *cache.Store

	// Memory is how many bytes factoring one matrix may take; 0: the default.
	// More is solved by iteration, to the same digits but slower.
	Memory int64
}

// UserCache gives the user's own store of what is costly to compute: see
// cache.User.
func UserCache() (*cache.Store, error) { return cache.User() }

// TieEdit is what a person says of a part that joins two nets.
type TieEdit struct {
	Part   string          // its reference, or Pins
	Pins   [2]string       // of a part on more than two nets, as "Q1.2" and "Q1.3"
	Open   bool            // it joins nothing
	Ohms   unit.Resistance // of the part
	Factor float64         // two times out of three the truth lies within this factor; 0: not given
}
