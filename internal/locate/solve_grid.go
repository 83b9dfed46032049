package locate

import (
	"iter"
	"math"
)

// grid finds sites near each other in plan: cells of one width, in which the
// sites keep their order.
type grid struct {
	cell  float64
	x, y  []float64
	sites map[[2]int][]int // by cell
}

func newGrid(x, y []float64, sites []int, cell float64) grid {
	g := grid{cell, x, y, map[[2]int][]int{}}
	for _, s := range sites {
		at := g.at(s)
		g.sites[at] = append(g.sites[at], s)
	}
	return g
}

func (g grid) at(s int) [2]int {
	return [2]int{int(math.Floor(g.x[s] / g.cell)), int(math.Floor(g.y[s] / g.cell))}
}

// around gives all sites within one cell's width of site s, and some more.
func (g grid) around(s int) iter.Seq[int] {
	return func(yield func(int) bool) {
		at := g.at(s)
		for i := at[0] - 1; i <= at[0]+1; i++ {
			for j := at[1] - 1; j <= at[1]+1; j++ {
				for _, t := range g.sites[[2]int{i, j}] {
					if !yield(t) {
						return
					}
				}
			}
		}
	}
}
