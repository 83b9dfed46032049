package locate

import "math"

// grid finds sites near each other in plan: cells of one width, column by
// column, in which the sites keep their order.
type grid struct {
	cell       float64
	x, y       []float64
	left, low  float64
	wide, high int
	start      []int32 // of each cell in sites, and their end
	sites      []int
}

// maxCells bounds the cells one way: a larger plan has larger cells.
const maxCells = 512

func newGrid(x, y []float64, sites []int, cell float64) *grid {
	g := &grid{cell: cell, x: x, y: y, left: math.Inf(1), low: math.Inf(1), sites: make([]int, len(sites))}
	right, top := math.Inf(-1), math.Inf(-1)
	for _, s := range sites {
		g.left, right = math.Min(g.left, x[s]), math.Max(right, x[s])
		g.low, top = math.Min(g.low, y[s]), math.Max(top, y[s])
	}
	if len(sites) == 0 {
		return g
	}
	g.cell = math.Max(cell, math.Max(right-g.left, top-g.low)/(maxCells-1))
	g.wide, g.high = int((right-g.left)/g.cell)+1, int((top-g.low)/g.cell)+1
	g.start = make([]int32, g.wide*g.high+1)
	for _, s := range sites {
		g.start[g.bin(s)+1]++
	}
	for b := range g.wide * g.high {
		g.start[b+1] += g.start[b]
	}
	next := append([]int32(nil), g.start...)
	for _, s := range sites {
		b := g.bin(s)
		g.sites[next[b]] = s
		next[b]++
	}
	return g
}

func (g *grid) at(s int) (i, j int) {
	return int((g.x[s] - g.left) / g.cell), int((g.y[s] - g.low) / g.cell)
}

func (g *grid) bin(s int) int {
	i, j := g.at(s)
	return i*g.high + j
}

// around gives all sites within one cell's width of site s, and some more, in
// three runs.
func (g *grid) around(s int) (runs [3][]int) {
	i, j := g.at(s)
	for k := range runs {
		if c := i + k - 1; c >= 0 && c < g.wide {
			from, to := c*g.high+max(j-1, 0), c*g.high+min(j+1, g.high-1)
			runs[k] = g.sites[g.start[from]:g.start[to+1]]
		}
	}
	return runs
}
