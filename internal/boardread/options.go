package boardread

import (
	"strings"

	"ohmward/internal/board"
	"ohmward/internal/cache"
	"ohmward/unit"
)

// Options are what the user says about the board; a zero field is not said.
type Options struct {
	Copper    []unit.Length // one thickness for every layer, or one per layer
	Plating   unit.Length   // in holes
	Thickness unit.Length   // of the board; given, it means equal spacing of the layers
	Copy      int           // of a panel, from 1; AllCopies; 0: not said
	Roles     []string      // what files are, as "plane.art=copper L2"

	// Early, when not nil, is handed what can be drawn while the rest is still read: a
	// board with nothing but its outline, then with the outer layers' copper too, before
	// drilling, as each is painted. From any goroutine, one call at a time.
	Early func(*board.Board)

	Cache *cache.Store // of painted images; nil: paint anew

	givenPath string // the path as the user gave it
}

// givenName is the path as the user gave it, or the board's name.
func (o Options) givenName(name string) string {
	if o.givenPath != "" {
		return strings.TrimRight(o.givenPath, `/\`)
	}
	return name
}

// AllCopies, as Options.Copy, means that every copy of a panel is wanted.
const AllCopies = -1

// Defaults of the stack-up where neither the data nor the user says more
// (CONTRACT: stack-up defaults).
const (
	DefaultCopper    = 35 * unit.Micrometre
	DefaultPlating   = 25 * unit.Micrometre
	DefaultThickness = 1.6 * unit.Millimetre
)

// closeHits is how near two hits must lie to be the same hole, in nanometres.
const closeHits = 10_000
