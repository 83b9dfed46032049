// Package suspect lists every place where two groups of copper could touch,
// each with a prior, before any reading: facing copper, parts with pins on
// both, planes against holes and layers, and metal bodies the user marked.
package suspect

import "ohmward/geom"

// Kind is the class of a place where two groups could touch.
type Kind uint8

// The classes of place.
const (
	Gap    Kind = iota // copper facing copper on one layer
	Part               // inside a part that has pins on both groups
	Layers             // plane against hole, or layer against layer
	Metal              // a shell, shield or screw against copper
)

// Names as the contract has them, indexed by Kind.
var Names = [...]string{"gap", "part", "layers", "metal"}

func (k Kind) String() string { return Names[k] }

// Site is one sampled place where the groups could touch. A is on the first
// group, B on the second.
type Site struct {
	Kind    Kind       // the class of place
	LayerA  int        // 0-based
	LayerB  int        // 0-based
	A, B    geom.Point // nanometres
	Gap     float64    // metres between the copper edges; 0 inside a part
	Length  float64    // metres of facing edge this sample stands for
	Prior   float64    // probability before any reading; all sites and elsewhere sum to 1
	Part    string     // the part, for Part and Metal
	Near    []string   // the nearest pins, as "C7.1", or none
	Hidden  bool       // under a part's body or shell
	Covered bool       // under solder mask
	Cluster int        // samples shown as one place
}

// Mid gives the midpoint of the site in millimetres.
func (s Site) Mid() (x, y float64) {
	ax, ay := s.A.MM()
	bx, by := s.B.MM()
	return (ax + bx) / 2, (ay + by) / 2
}
