// Package geom is exact plane geometry on integer nanometres: points, rings,
// polygons and their set operations, predicates that never guess, and a
// spatial index. The frame is the fabrication files' own, y up.
//
// Coordinates must stay within ±MaxCoord, so that the orientation of three
// points is exact in int64. Callers own the slices they pass and get; no
// function keeps or changes its arguments. Values may be shared between
// goroutines as long as nobody writes to them.
package geom

import "math"

// MaxCoord bounds |x| and |y| of every point, in nanometres (one metre).
const MaxCoord = 1_000_000_000

// Point is a place in the plane, in nanometres.
type Point struct {
	X, Y int64 // nanometres, y up
}

// MM gives the point's coordinates in millimetres.
func (p Point) MM() (x, y float64) { return float64(p.X) / 1e6, float64(p.Y) / 1e6 }

// FromMM rounds millimetres to the nearest nanometre point.
func FromMM(x, y float64) Point {
	return Point{int64(math.Round(x * 1e6)), int64(math.Round(y * 1e6))}
}

// Segment is the straight line from A to B.
type Segment struct {
	A, B Point // the ends
}

// Box is a closed axis-parallel rectangle; the zero Box is the single point
// (0,0), EmptyBox holds nothing.
type Box struct {
	Min, Max Point // the lower left and the upper right corner
}

// EmptyBox contains no point and is the unit of Box.Join.
func EmptyBox() Box {
	return Box{Point{math.MaxInt64, math.MaxInt64}, Point{math.MinInt64, math.MinInt64}}
}

// Empty tells whether the box holds no point.
func (b Box) Empty() bool { return b.Min.X > b.Max.X || b.Min.Y > b.Max.Y }

// Extend gives the smallest box that holds b and p.
func (b Box) Extend(p Point) Box {
	return b.Join(Box{p, p})
}

// Join gives the smallest box that holds both boxes.
func (b Box) Join(c Box) Box {
	return Box{
		Point{min(b.Min.X, c.Min.X), min(b.Min.Y, c.Min.Y)},
		Point{max(b.Max.X, c.Max.X), max(b.Max.Y, c.Max.Y)},
	}
}

// Grow gives the box with every side moved outward by d nanometres.
func (b Box) Grow(d int64) Box {
	return Box{Point{b.Min.X - d, b.Min.Y - d}, Point{b.Max.X + d, b.Max.Y + d}}
}

// Touches tells whether the two closed boxes share a point.
func (b Box) Touches(c Box) bool {
	return b.Min.X <= c.Max.X && c.Min.X <= b.Max.X && b.Min.Y <= c.Max.Y && c.Min.Y <= b.Max.Y
}

// Holds tells whether p lies in the closed box.
func (b Box) Holds(p Point) bool {
	return b.Min.X <= p.X && p.X <= b.Max.X && b.Min.Y <= p.Y && p.Y <= b.Max.Y
}

// Ring is a closed chain of points; the last is joined to the first and not
// repeated.
type Ring []Point

// Polygon is one connected piece of the plane: the outer ring runs
// counter-clockwise, every hole clockwise.
type Polygon struct {
	Outer Ring   // counter-clockwise
	Holes []Ring // clockwise
}

// Region is a set of polygons with disjoint interiors, as the set operations
// return it.
type Region []Polygon
