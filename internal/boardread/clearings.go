package boardread

import (
	"ohmward/format/gerber"
	"ohmward/geom"
)

// clearings finds the objects of an image, dark or clearing, that hold a place.
type clearings struct {
	objects []gerber.Object
	cells   map[[2]int64][]int32
	wide    []int32 // those of very many cells
}

const (
	clearCell = 1_000_000 // nanometres
	wideClear = 4096      // cells
)

func newClearings(img *gerber.Image) *clearings { return newObjects(img, false) }

func newObjects(img *gerber.Image, dark bool) *clearings {
	c := &clearings{objects: img.Objects, cells: map[[2]int64][]int32{}}
	for i := range img.Objects {
		o := &img.Objects[i]
		if o.Dark != dark || len(o.Rings) == 0 {
			continue
		}
		b := geom.Bounds(o.Rings)
		x0, x1 := geom.FloorDiv(b.Min.X, clearCell), geom.FloorDiv(b.Max.X, clearCell)
		y0, y1 := geom.FloorDiv(b.Min.Y, clearCell), geom.FloorDiv(b.Max.Y, clearCell)
		if (x1-x0+1)*(y1-y0+1) > wideClear {
			c.wide = append(c.wide, int32(i))
			continue
		}
		for x := x0; x <= x1; x++ {
			for y := y0; y <= y1; y++ {
				c.cells[[2]int64{x, y}] = append(c.cells[[2]int64{x, y}], int32(i))
			}
		}
	}
	return c
}

// after tells whether an object painted after the i-th holds a place.
func (c *clearings) after(i int, p geom.Point) bool {
	return c.any(p, func(j int) bool { return j > i })
}

// before tells whether an object painted before the i-th holds a place.
func (c *clearings) before(i int, p geom.Point) bool {
	return c.any(p, func(j int) bool { return j < i })
}

func (c *clearings) any(p geom.Point, wanted func(j int) bool) bool {
	cell := [2]int64{geom.FloorDiv(p.X, clearCell), geom.FloorDiv(p.Y, clearCell)}
	for _, list := range [2][]int32{c.cells[cell], c.wide} {
		for _, j := range list {
			if wanted(int(j)) && geom.Winding(c.objects[j].Rings, p) != 0 {
				return true
			}
		}
	}
	return false
}
