package conduct

import (
	"slices"

	"ohmward/geom"
)

// rimSlack is how far (nanometres) a hole's edge in the mesh may lie from the
// drilled circle: chord error and outline simplification (up to 4 um), with room.
const rimSlack = 8000

// rimFinder tells which plated hole a piece of copper outline borders.
type rimFinder struct {
	barrels []Barrel
	cells   map[[2]int64][]int32
}

// rimCell is the finder's grid, in nanometres.
const rimCell = 1_000_000

func newRimFinder(barrels []Barrel) *rimFinder {
	f := &rimFinder{barrels: barrels, cells: map[[2]int64][]int32{}}
	for i, b := range barrels {
		box := geom.EmptyBox().Extend(b.At).Extend(b.To).Grow(b.Diameter/2 + rimSlack)
		for x := rimCellOf(box.Min.X); x <= rimCellOf(box.Max.X); x++ {
			for y := rimCellOf(box.Min.Y); y <= rimCellOf(box.Max.Y); y++ {
				f.cells[[2]int64{x, y}] = append(f.cells[[2]int64{x, y}], int32(i))
			}
		}
	}
	return f
}

func rimCellOf(v int64) int64 { return geom.FloorDiv(v, rimCell) }

// candidates lists the barrels near a plan point given in nanometres.
func (f *rimFinder) candidates(x, y float64) []int32 {
	return f.cells[[2]int64{rimCellOf(int64(x)), rimCellOf(int64(y))}]
}

// bordered gives the barrel whose wall on a layer the outline edge (a to b,
// nanometres) follows, or -1.
func (f *rimFinder) bordered(layer int, ax, ay, bx, by float64) int {
	mx, my := (ax+bx)/2, (ay+by)/2
	for _, i := range f.candidates(mx, my) {
		b := f.barrels[i]
		if layer < b.FirstLayer || layer > b.LastLayer {
			continue
		}
		if b.near(ax, ay, rimSlack) && b.near(bx, by, rimSlack) && b.near(mx, my, rimSlack) {
			return int(i)
		}
	}
	return -1
}

// touched lists the barrels on a layer that a disc touches, in their order.
func (f *rimFinder) touched(d Disc) []int {
	var hit []int
	x, y := float64(d.At.X), float64(d.At.Y)
	reach := float64(d.Diameter) / 2
	box := geom.EmptyBox().Extend(d.At).Grow(d.Diameter / 2)
	for cx := rimCellOf(box.Min.X); cx <= rimCellOf(box.Max.X); cx++ {
		for cy := rimCellOf(box.Min.Y); cy <= rimCellOf(box.Max.Y); cy++ {
			for _, i := range f.cells[[2]int64{cx, cy}] {
				b := f.barrels[i]
				if d.Layer < b.FirstLayer || d.Layer > b.LastLayer || slices.Contains(hit, int(i)) {
					continue
				}
				if b.distance(x, y) <= reach+float64(b.Diameter)/2 {
					hit = append(hit, int(i))
				}
			}
		}
	}
	slices.Sort(hit)
	return hit
}
