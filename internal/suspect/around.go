package suspect

import (
	"math"

	"ohmward/geom"
)

// around marks the cells of a coarse grid that lie near some outlines, so
// that far longer ones may be skipped where they are not near. A grid
// over an empty zone marks nothing.
type around struct {
	min    geom.Point
	cell   int64 // nanometres
	nx, ny int
	mark   []bool
}

// aroundCell is the wished cell in metres, aroundCells bounds their number.
const (
	aroundCell  = 0.25e-3
	aroundCells = 1 << 20
)

func newAround(zone geom.Box) *around {
	if zone.Empty() {
		return &around{cell: 1}
	}
	w, h := zone.Max.X-zone.Min.X, zone.Max.Y-zone.Min.Y
	cell := max(nm(aroundCell), int64(math.Sqrt(float64(w)*float64(h)/aroundCells)), max(w, h)/aroundCells+1)
	a := &around{min: zone.Min, cell: cell, nx: int(w/cell) + 1, ny: int(h/cell) + 1}
	a.mark = make([]bool, a.nx*a.ny)
	return a
}

// cells gives the columns and rows that a box covers, none where it lies
// outside.
func (a *around) cells(b geom.Box) (x0, x1, y0, y1 int) {
	clip := func(lo, hi int64, n int) (int, int) {
		if hi < 0 || lo >= int64(n)*a.cell {
			return 0, -1
		}
		return int(max(lo, 0) / a.cell), int(min(hi/a.cell, int64(n-1)))
	}
	x0, x1 = clip(b.Min.X-a.min.X, b.Max.X-a.min.X, a.nx)
	y0, y1 = clip(b.Min.Y-a.min.Y, b.Max.Y-a.min.Y, a.ny)
	return x0, x1, y0, y1
}

// markBox marks the cells of a box.
func (a *around) markBox(b geom.Box) {
	x0, x1, y0, y1 := a.cells(b)
	for y := y0; y <= y1; y++ {
		for x := x0; x <= x1; x++ {
			a.mark[y*a.nx+x] = true
		}
	}
}

// touches tells whether a box holds part of a marked cell.
func (a *around) touches(b geom.Box) bool {
	x0, x1, y0, y1 := a.cells(b)
	for y := y0; y <= y1; y++ {
		for x := x0; x <= x1; x++ {
			if a.mark[y*a.nx+x] {
				return true
			}
		}
	}
	return false
}

// spread marks also all cells that lie within some nanometres of a marked one.
func (a *around) spread(by int64) {
	k := int(by/a.cell) + 1
	for y := range a.ny {
		spreadLine(a.mark[y*a.nx:], 1, a.nx, k)
	}
	for x := range a.nx {
		spreadLine(a.mark[x:], a.nx, a.ny, k)
	}
}

// spreadLine marks up to k cells on both sides of the marked ones of a line.
func spreadLine(mark []bool, stride, n, k int) {
	was := make([]bool, n)
	for i := range n {
		was[i] = mark[i*stride]
	}
	last := -k - 1 // the last marked cell
	for i := range n {
		if was[i] {
			last = i
		}
		if i-last <= k {
			mark[i*stride] = true
		}
	}
	last = n + k
	for i := n - 1; i >= 0; i-- {
		if was[i] {
			last = i
		}
		if last-i <= k {
			mark[i*stride] = true
		}
	}
}

// and marks what two grids over the same zone both mark.
func (a *around) and(b *around) *around {
	out := *a
	out.mark = make([]bool, len(a.mark))
	for i := range out.mark {
		out.mark[i] = a.mark[i] && b.mark[i]
	}
	return &out
}
