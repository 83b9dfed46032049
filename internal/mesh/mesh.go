// Package mesh cuts plane regions into triangles that follow their outlines:
// constrained Delaunay triangulation on exact predicates, refined to a least
// angle and to wished sizes.
package mesh

import "ohmward/internal/geom"

// Input is what is to be meshed.
type Input struct {
	Region geom.Region
	// Curves are open or closed chains whose points become vertices and whose
	// segments become edges wherever they run inside the region (contact
	// rims). They may cross the region's outline and each other.
	Curves [][]geom.Point
	// Sizes ask for an edge length near a place; it grows with distance from
	// it by Grading.
	Sizes       []Size
	MaxEdge     int64   // longest edge anywhere, nanometres; 0: no limit
	Grading     float64 // growth of the wished edge per distance; 0: 0.4
	MinAngle    float64 // degrees; 0: 25
	MinEdge     int64   // edges are not split below this, nanometres; 0: 1000
	MaxVertices int     // error beyond; 0: 5 million
}

// Size asks for edges of about Edge nanometres within Radius of At.
type Size struct {
	At           geom.Point
	Radius, Edge int64
}

// Mesh is a triangulation. Vertices are metres relative to nothing: the
// fabrication frame.
type Mesh struct {
	X, Y     []float64  // metres
	Triangle [][3]int32 // counter-clockwise vertex numbers
	Piece    []int32    // for each triangle, the index of its polygon in Input.Region
	Outline  []bool     // for each vertex: lies on the region's outline
	// Area and angle figures for checks.
	Area       float64 // square metres
	WorstAngle float64 // degrees
}
