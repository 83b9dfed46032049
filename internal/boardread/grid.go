package boardread

import (
	"iter"

	"ohmward/format/gerber"
	"ohmward/geom"
)

// grid finds things by place, in square cells.
type grid[T any] struct {
	step  int64 // width of a cell, nanometres
	cells map[[2]int64][]T
}

func newGrid[T any](step int64) grid[T] { return grid[T]{step, map[[2]int64][]T{}} }

func (g grid[T]) cell(p geom.Point) [2]int64 {
	return [2]int64{geom.FloorDiv(p.X, g.step), geom.FloorDiv(p.Y, g.step)}
}

func (g grid[T]) add(p geom.Point, v T) { g.cells[g.cell(p)] = append(g.cells[g.cell(p)], v) }

// around gives all that lies within a step of p, and some more.
func (g grid[T]) around(p geom.Point) iter.Seq[T] {
	return func(yield func(T) bool) {
		k := g.cell(p)
		for i := range int64(9) {
			for _, v := range g.cells[[2]int64{k[0] + i/3 - 1, k[1] + i%3 - 1}] {
				if !yield(v) {
					return
				}
			}
		}
	}
}

// dark gives what an image adds.
func dark(img *gerber.Image) iter.Seq[*gerber.Object] {
	return func(yield func(*gerber.Object) bool) {
		for i := range img.Objects {
			if o := &img.Objects[i]; o.Dark && !yield(o) {
				return
			}
		}
	}
}

// width and height are a box's, in nanometres.
func width(b geom.Box) int64  { return b.Max.X - b.Min.X }
func height(b geom.Box) int64 { return b.Max.Y - b.Min.Y }

func plus(p, q geom.Point) geom.Point { return geom.Point{X: p.X + q.X, Y: p.Y + q.Y} }
