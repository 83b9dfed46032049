package board

import "ohmward/internal/unit"

// Options are what the user says about the board; a zero field is not said.
type Options struct {
	Copper    []unit.Length // one thickness for every layer, or one per layer
	Plating   unit.Length   // in holes
	Thickness unit.Length   // of the board; given, it means equal spacing of the layers
}

// Defaults of the stack-up where neither the data nor the user says more
// (CONTRACT: stack-up defaults).
const (
	DefaultCopper    = 35 * unit.Micrometre
	DefaultPlating   = 25 * unit.Micrometre
	DefaultThickness = 1.6 * unit.Millimetre
)

// closeHits is how near two hits must lie to be the same hole, in nanometres.
const closeHits = 10_000
