package locate

import (
	"iter"
	"math"
)

// grid finds sites near each other in plan: squares of one cell, in which the
// sites keep their order.
type grid struct {
	cell float64
	x, y []float64
	bins map[[2]int][]int
}

func newGrid(x, y []float64, sites []int, cell float64) *grid {
	g := &grid{cell, x, y, map[[2]int][]int{}}
	for _, s := range sites {
		b := g.bin(s)
		g.bins[b] = append(g.bins[b], s)
	}
	return g
}

func (g *grid) bin(s int) [2]int {
	return [2]int{int(math.Floor(g.x[s] / g.cell)), int(math.Floor(g.y[s] / g.cell))}
}

// around gives all sites within one cell's width of site s, and some more.
func (g *grid) around(s int) iter.Seq[int] {
	return func(yield func(int) bool) {
		b := g.bin(s)
		for i := b[0] - 1; i <= b[0]+1; i++ {
			for j := b[1] - 1; j <= b[1]+1; j++ {
				for _, t := range g.bins[[2]int{i, j}] {
					if !yield(t) {
						return
					}
				}
			}
		}
	}
}
