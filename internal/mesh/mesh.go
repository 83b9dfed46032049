// Package mesh cuts plane regions into triangles that follow their outlines:
// constrained Delaunay triangulation on exact predicates, refined to a least
// angle and to wished sizes.
//
// Input is integer nanometres in the fabrication frame, y up; a Mesh is in
// metres in the same frame. Inside, points lie on whole ticks of 2^-20
// nanometre and every decision is exact. The same Input always gives the same
// Mesh. Callers own what they pass and get; a finished Mesh may be read by
// many goroutines at once.
package mesh

import (
	"sync"

	"ohmward/geom"
)

// Input is what is to be meshed. Where parts of the region touch in a point each
// has a vertex of its own there, so that no current passes through a contact of
// no width.
type Input struct {
	Region geom.Region // what is covered with triangles, nanometres
	// Curves are open or closed chains whose points become vertices and whose
	// segments become edges wherever they run inside the region (contact
	// rims). They may cross the region's outline and each other. A chain is
	// closed when its last point equals its first.
	Curves [][]geom.Point
	// Sizes ask for an edge length near a place; it grows with distance from
	// it by Grading.
	Sizes       []Size
	MaxEdge     int64   // longest edge anywhere, nanometres; 0: no limit
	Grading     float64 // growth of the wished edge per distance; 0: 0.4
	MinAngle    float64 // degrees, at most 33; 0: 25
	MinEdge     int64   // edges are not split below this, nanometres; 0: 1000
	MaxVertices int     // error beyond; 0: 5 million
	// Simplify lets the outline move by up to this many nanometres so as to
	// need fewer points; 0: not at all. Points where a curve meets the
	// outline stay; curves that run along it follow.
	Simplify int64
}

// Size asks for edges of about Edge nanometres within Radius of At.
type Size struct {
	At           geom.Point // nanometres
	Radius, Edge int64      // nanometres
}

// Mesh is a triangulation. Vertices are metres relative to nothing: the
// fabrication frame.
type Mesh struct {
	X, Y     []float64  // metres
	Triangle [][3]int32 // counter-clockwise vertex numbers
	Polygon  []int32    // for each triangle, the index of its polygon in Input.Region
	Outline  []bool     // for each vertex: lies on the region's outline
	// Neighbour gives for each triangle the one across the edge opposite each
	// corner, or -1 at the outline.
	Neighbour [][3]int32
	// Boundary lists the outline's edges as vertex pairs, the region on the
	// left, and BoundaryRing for each the polygon in Input.Region and the
	// ring in it: 0 for the outer one, 1+k for hole k.
	Boundary     [][2]int32
	BoundaryRing [][2]int32
	// CurveEdges lists the mesh edges on Input.Curves that lie in the region
	// or on its outline.
	CurveEdges []CurveEdge

	indexed sync.Once
	finder  *finder
}

// CurveEdge is a mesh edge on a curve; its direction has no meaning.
type CurveEdge struct {
	Curve int32 // index in Input.Curves
	A, B  int32 // vertices
}
