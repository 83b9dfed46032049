package geom

import (
	"math"
	"sync"
)

// grid is a field of square cells over a half-open box.
type grid struct {
	x0, y0 int64
	cell   int64
	nx, ny int
	inv    float64
}

func newGrid(x0, y0, w, h, cell int64) grid {
	cell = max(cell, 1)
	return grid{
		x0: x0, y0: y0, cell: cell,
		nx: int((w + cell - 1) / cell), ny: int((h + cell - 1) / cell),
		inv: 1 / float64(cell),
	}
}

// at is the cell of a point inside the box.
func (g *grid) at(p Point) int {
	return int((p.Y-g.y0)/g.cell)*g.nx + int((p.X-g.x0)/g.cell)
}

// col and row give the cell column and row of a coordinate, clamped.
func (g *grid) col(x float64) int { return clamp(int(math.Floor((x-float64(g.x0))*g.inv)), g.nx) }
func (g *grid) row(y float64) int { return clamp(int(math.Floor((y-float64(g.y0))*g.inv)), g.ny) }

// field is a block of cells, both ends with it.
type field struct{ c0, r0, c1, r1 int }

// under gives the cells that a box covers; ok is false where it lies outside.
func (g *grid) under(b Box) (f field, ok bool) {
	if g.nx == 0 || b.Empty() || b.Max.X < g.x0 || b.Max.Y < g.y0 ||
		b.Min.X >= g.x0+int64(g.nx)*g.cell || b.Min.Y >= g.y0+int64(g.ny)*g.cell {
		return field{}, false
	}
	return field{g.col(float64(b.Min.X)), g.row(float64(b.Min.Y)),
		g.col(float64(b.Max.X)), g.row(float64(b.Max.Y))}, true
}

func clamp(i, n int) int { return max(0, min(i, n-1)) }

// reach is how far beside a segment, in nanometres, its cells still count.
const reach = 6

// walk calls visit with every cell that holds an integer point of the
// segment's box within 5 nm of the segment, and with few others. Parts outside
// the grid are left out.
func (g *grid) walk(a, b Point, visit func(cell int)) {
	x0, x1 := min(a.X, b.X)-reach-g.x0, max(a.X, b.X)+reach-g.x0
	y0, y1 := min(a.Y, b.Y)-reach-g.y0, max(a.Y, b.Y)+reach-g.y0
	w, h := int64(g.nx)*g.cell, int64(g.ny)*g.cell
	if x1 < 0 || y1 < 0 || x0 >= w || y0 >= h {
		return
	}
	c0, c1 := clamp(int(float64(x0)*g.inv), g.nx), clamp(int(float64(x1)*g.inv), g.nx)
	r0, r1 := clamp(int(float64(y0)*g.inv), g.ny), clamp(int(float64(y1)*g.inv), g.ny)
	if r0 == r1 || c0 == c1 || a.X == b.X || a.Y == b.Y {
		for r := r0; r <= r1; r++ {
			for c := c0; c <= c1; c++ {
				visit(r*g.nx + c)
			}
		}
		return
	}
	g.slant(a, b, r0, r1, visit)
}

// slant walks a sloping segment row by row.
func (g *grid) slant(a, b Point, r0, r1 int, visit func(cell int)) {
	if a.Y > b.Y {
		a, b = b, a
	}
	ax, ay := float64(a.X-g.x0), float64(a.Y-g.y0)
	top := float64(b.Y - g.y0)
	slope := float64(b.X-a.X) / float64(b.Y-a.Y)
	for r := r0; r <= r1; r++ {
		lo := math.Max(ay, float64(int64(r)*g.cell-reach))
		hi := math.Min(top, float64(int64(r+1)*g.cell+reach))
		xl, xr := ax+(lo-ay)*slope, ax+(hi-ay)*slope
		if xl > xr {
			xl, xr = xr, xl
		}
		if xr+reach < 0 || xl-reach >= float64(int64(g.nx)*g.cell) {
			continue
		}
		c1 := clamp(int((xr+reach)*g.inv), g.nx)
		for c := clamp(int((xl-reach)*g.inv), g.nx); c <= c1; c++ {
			visit(r*g.nx + c)
		}
	}
}

// buckets lists the items of each cell: items[start[c]:start[c+1]].
type buckets struct{ start, items []int32 }

func (b *buckets) of(c int) []int32 { return b.items[b.start[c]:b.start[c+1]] }

// inCell is an item of a cell on its way into buckets.
type inCell struct{ cell, item int32 }

var spareCells = sync.Pool{New: func() any { return new([]inCell) }}

// fillBuckets makes buckets of n cells: each calls put with every (cell, item)
// pair.
func fillBuckets(n int, each func(put func(cell int, item int32))) buckets {
	spare := spareCells.Get().(*[]inCell)
	all := (*spare)[:0]
	start := make([]int32, n+1)
	each(func(c int, item int32) {
		all = append(all, inCell{int32(c), item})
		start[c+1]++
	})
	for c := range n {
		start[c+1] += start[c]
	}
	items := make([]int32, start[n])
	at := start[:n]
	for _, p := range all {
		items[at[p.cell]] = p.item
		at[p.cell]++
	}
	// Every start has moved to its cell's end.
	copy(start[1:], start[:n])
	start[0] = 0
	*spare = all
	spareCells.Put(spare)
	return buckets{start, items}
}
