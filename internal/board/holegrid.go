package board

import (
	"cmp"
	"iter"
	"slices"

	"ohmward/geom"
)

// Holds tells whether p lies inside the hole or slot, its rim included.
func (h Hole) Holds(p geom.Point) bool {
	return geom.DistPointSegment(p, h.At, h.To) <= float64(h.Diameter)/2
}

// Bounds is the box of the hole or slot.
func (h Hole) Bounds() geom.Box {
	return geom.EmptyBox().Extend(h.At).Extend(h.To).Grow(h.Diameter / 2)
}

// Mid is the middle of the hole's or slot's axis.
func (h Hole) Mid() geom.Point {
	return geom.Point{X: h.At.X + (h.To.X-h.At.X)/2, Y: h.At.Y + (h.To.Y-h.At.Y)/2}
}

// Gap is the distance between the rims of two holes, in nanometres; negative
// where they run into each other.
func (h Hole) Gap(o Hole) float64 {
	_, _, d := geom.Closest(geom.Segment{A: h.At, B: h.To}, geom.Segment{A: o.At, B: o.To})
	return d - float64(h.Diameter+o.Diameter)/2
}

// Spans tells whether the hole goes through a layer (0-based).
func (h Hole) Spans(layer int) bool { return h.First <= layer && layer <= h.Last }

// AnyHole and PlatedHole are what HoleGrid.At may be asked for.
func AnyHole(Hole) bool      { return true }
func PlatedHole(h Hole) bool { return h.Plated }

// holeCell is the width of a HoleGrid's cells, in nanometres.
const holeCell = 1_000_000

// HoleGrid finds the holes near a place.
type HoleGrid struct {
	holes []Hole
	cells map[[2]int64][]int32
}

// NewHoleGrid makes the grid of some holes; grow is how far beyond their
// rims Near and Touching are to find them, in nanometres.
func NewHoleGrid(holes []Hole, grow int64) *HoleGrid {
	g := &HoleGrid{holes: holes, cells: map[[2]int64][]int32{}}
	for i, h := range holes {
		for k := range cells(h.Bounds().Grow(grow + 1)) {
			g.cells[k] = append(g.cells[k], int32(i))
		}
	}
	return g
}

func cells(b geom.Box) iter.Seq[[2]int64] {
	return func(yield func([2]int64) bool) {
		for x := geom.FloorDiv(b.Min.X, holeCell); x <= geom.FloorDiv(b.Max.X, holeCell); x++ {
			for y := geom.FloorDiv(b.Min.Y, holeCell); y <= geom.FloorDiv(b.Max.Y, holeCell); y++ {
				if !yield([2]int64{x, y}) {
					return
				}
			}
		}
	}
}

// Near lists the holes whose rim may lie within the grid's growth of p, by
// their indices, ascending.
func (g *HoleGrid) Near(p geom.Point) []int32 {
	return g.cells[[2]int64{geom.FloorDiv(p.X, holeCell), geom.FloorDiv(p.Y, holeCell)}]
}

// Cells lists the holes of each cell that a box touches; a hole that lies in
// several cells comes in each.
func (g *HoleGrid) Cells(b geom.Box) iter.Seq[[]int32] {
	return func(yield func([]int32) bool) {
		for k := range cells(b) {
			if !yield(g.cells[k]) {
				return
			}
		}
	}
}

// At gives the first hole that holds p on the layer and meets want, or -1.
func (g *HoleGrid) At(p geom.Point, layer int, want func(Hole) bool) int {
	for _, i := range g.Near(p) {
		if h := g.holes[i]; h.Spans(layer) && want(h) && h.Holds(p) {
			return int(i)
		}
	}
	return -1
}

// Touching lists the plated holes on the layer that a disc about p touches,
// the nearest first; the radius is no more than the grid's growth.
func (g *HoleGrid) Touching(p geom.Point, layer int, radius int64) []int {
	rim := func(i int) float64 { // its distance from p, nanometres
		return geom.DistPointSegment(p, g.holes[i].At, g.holes[i].To) - float64(g.holes[i].Diameter)/2
	}
	var out []int
	for _, i := range g.Near(p) {
		if h := g.holes[i]; h.Plated && h.Spans(layer) && rim(int(i)) <= float64(radius) {
			out = append(out, int(i))
		}
	}
	slices.SortStableFunc(out, func(a, b int) int { return cmp.Compare(rim(a), rim(b)) })
	return out
}

// Inside gives the plated hole whose middle lies in the shape, or -1: a pad
// may stand off its hole's middle.
func (g *HoleGrid) Inside(body geom.Region, layer int) int {
	for cell := range g.Cells(body.Bounds()) {
		for _, i := range cell {
			h := g.holes[i]
			if h.Plated && h.Spans(layer) && body.Contains(h.Mid()) {
				return int(i)
			}
		}
	}
	return -1
}
