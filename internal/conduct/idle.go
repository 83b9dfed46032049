package conduct

import (
	"slices"

	"ohmward/geom"
)

// WithoutIdle leaves out copper of inner layers that no current can pass whatever is
// asked of the group: islands that hang on one plated hole at most and hold none of
// the used places. Each resistance between used places, and between outer layers'
// places, stays the same to the digit. On boards with many layers most lands of the
// vias are such.
func (g Group) WithoutIdle(layers int, used []Disc) Group {
	rims, on := newRimFinder(g.Barrels), byLayer(used)
	for _, t := range g.Ties {
		for _, end := range []Terminal{t.A, t.B} {
			on[end.Layer] = append(on[end.Layer], Disc{Layer: end.Layer, At: end.At})
		}
	}
	sheets := make([]Sheet, 0, len(g.Sheets))
	for _, s := range g.Sheets {
		if s.Layer > 0 && s.Layer < layers-1 {
			at := newDiscGrid(on[s.Layer])
			s.Copper = slices.DeleteFunc(slices.Clone(s.Copper), func(p geom.Polygon) bool {
				box := p.Outer.Bounds()
				return !at.touch(box) && rims.fewIn(s.Layer, box)
			})
		}
		if len(s.Copper) > 0 {
			sheets = append(sheets, s)
		}
	}
	if len(sheets) > 0 {
		g.Sheets = sheets
	}
	return g
}

func byLayer(discs []Disc) map[int][]Disc {
	out := map[int][]Disc{}
	for _, d := range discs {
		out[d.Layer] = append(out[d.Layer], d)
	}
	return out
}

// fewIn tells whether one barrel at most meets a box on a layer.
func (f *rimFinder) fewIn(layer int, box geom.Box) bool {
	first := int32(-1)
	for cx := rimCellOf(box.Min.X); cx <= rimCellOf(box.Max.X); cx++ {
		for cy := rimCellOf(box.Min.Y); cy <= rimCellOf(box.Max.Y); cy++ {
			for _, i := range f.cells[[2]int64{cx, cy}] {
				b := f.barrels[i]
				if i == first || layer < b.FirstLayer || layer > b.LastLayer || !b.box().Touches(box) {
					continue
				}
				if first >= 0 {
					return false
				}
				first = i
			}
		}
	}
	return true
}

// box holds the barrel's outer wall, with room.
func (b Barrel) box() geom.Box {
	return geom.EmptyBox().Extend(b.At).Extend(b.To).Grow(b.Diameter/2 + rimSlack)
}

// discGrid finds discs near a box.
type discGrid map[[2]int64][]geom.Box

func newDiscGrid(discs []Disc) discGrid {
	g := discGrid{}
	for _, d := range discs {
		box := geom.EmptyBox().Extend(d.At).Grow(d.Diameter/2 + rimSlack)
		eachCell(box, func(c [2]int64) bool {
			g[c] = append(g[c], box)
			return true
		})
	}
	return g
}

// touch tells whether a disc may meet the box.
func (g discGrid) touch(box geom.Box) bool {
	return !eachCell(box, func(c [2]int64) bool {
		return !slices.ContainsFunc(g[c], box.Touches)
	})
}

// eachCell calls f for the cells of the rim finder's grid that a box meets, until it
// says no.
func eachCell(box geom.Box, f func([2]int64) bool) bool {
	for x := rimCellOf(box.Min.X); x <= rimCellOf(box.Max.X); x++ {
		for y := rimCellOf(box.Min.Y); y <= rimCellOf(box.Max.Y); y++ {
			if !f([2]int64{x, y}) {
				return false
			}
		}
	}
	return true
}
