package suspect

import (
	"iter"
	"math"
	"slices"

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

// cells gives the cells that a box covers.
func (a *around) cells(b geom.Box) iter.Seq[int] {
	clip := func(lo, hi int64, n int) (int, int) {
		if hi < 0 || lo >= int64(n)*a.cell {
			return 0, -1
		}
		return int(max(lo, 0) / a.cell), int(min(hi/a.cell, int64(n-1)))
	}
	x0, x1 := clip(b.Min.X-a.min.X, b.Max.X-a.min.X, a.nx)
	y0, y1 := clip(b.Min.Y-a.min.Y, b.Max.Y-a.min.Y, a.ny)
	return func(yield func(int) bool) {
		for y := y0; y <= y1; y++ {
			for x := x0; x <= x1; x++ {
				if !yield(y*a.nx + x) {
					return
				}
			}
		}
	}
}

// markBox marks the cells of a box.
func (a *around) markBox(b geom.Box) {
	for i := range a.cells(b) {
		a.mark[i] = true
	}
}

// touches tells whether a box holds part of a marked cell.
func (a *around) touches(b geom.Box) bool {
	for i := range a.cells(b) {
		if a.mark[i] {
			return true
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
	since, was := k+1, make([]bool, n) // since the last marked cell
	for i := range n {
		if was[i] = mark[i*stride]; was[i] {
			since = 0
		}
		mark[i*stride] = since <= k
		since++
	}
	since = k + 1
	for i, marked := range slices.Backward(was) {
		if marked {
			since = 0
		}
		mark[i*stride] = mark[i*stride] || since <= k
		since++
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
