// Package conduct solves steady currents in copper: thin sheets on every
// layer, joined by plated barrels and by parts of a few ohms, touched by
// equipotential contacts of any number.
//
// A group's sheets are meshed along their true outlines and solved in two
// ways on the same triangles. Linear elements (a potential in the vertices)
// bound conductance from above by the Dirichlet principle; nonconforming
// linear elements (a potential in the edges), whose fluxes are divergence
// free and continuous across every edge, bound it from below by the Thomson
// principle (their equivalence with lowest-order Raviart-Thomas elements:
// Marini, SIAM J. Numer. Anal. 22 (1985) 493, from memory). The truth lies
// between the two.
//
// Everything is SI; plan coordinates arrive as integer nanometres in the
// fabrication frame and become metres in the meshes. A Model may be used by
// several goroutines once built.
package conduct

import (
	"math"

	"ohmward/geom"
)

// Sheet is a group's copper on one layer.
type Sheet struct {
	Layer       int         // 0-based
	Copper      geom.Region // nanometres
	Conductance float64     // siemens per square: thickness over resistivity
}

// Barrel is a plated hole or slot and its resistance between neighbouring
// layers of its span.
type Barrel struct {
	At, To                geom.Point // ends of the axis; one point for a round hole
	Diameter              int64      // nanometres, outside
	FirstLayer, LastLayer int        // 0-based layers, inclusive
	Ohms                  []float64  // from each layer of the span to the next
	PlatingExponent       float64    // d ln(conductance) / d ln(plating thickness); see Section
}

// Terminal is a place where a part is soldered.
type Terminal struct {
	Layer int        // 0-based
	At    geom.Point // nanometres
}

// Tie is a low-ohm part that joins two places of a group.
type Tie struct {
	Part string   // its reference
	A, B Terminal // its ends
	Ohms float64  // its resistance
}

// Group is copper that conducts as one.
type Group struct {
	Name    string   // of its first net
	Sheets  []Sheet  // its copper, by layer
	Barrels []Barrel // its plated holes
	Ties    []Tie    // its low-ohm parts
}

// near tells whether a plan point (nanometres) lies within slack of the
// barrel's outer wall.
func (b Barrel) near(x, y, slack float64) bool {
	return math.Abs(b.distance(x, y)-float64(b.Diameter)/2) <= slack
}

// distance is the distance in nanometres from a plan point to the barrel's
// axis, for slots to the segment between its ends.
func (b Barrel) distance(x, y float64) float64 {
	ax, ay := float64(b.At.X), float64(b.At.Y)
	dx, dy := float64(b.To.X)-ax, float64(b.To.Y)-ay
	t := 0.0
	if l2 := dx*dx + dy*dy; l2 > 0 {
		t = math.Max(0, math.Min(1, ((x-ax)*dx+(y-ay)*dy)/l2))
	}
	return math.Hypot(x-ax-t*dx, y-ay-t*dy)
}
