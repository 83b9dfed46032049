package board

import (
	"cmp"
	"fmt"
	"slices"

	"ohmward/geom"
)

// mergeHoles counts the same hit once: two holes or slots whose ends lie
// within closeHits of each other, on overlapping spans, are one, the larger.
// Where they disagree on plating it counts as plated and is a doubt.
func mergeHoles(in []Hole) ([]Hole, []Doubt) {
	order := make([]int, len(in))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(in[b].Diameter, in[a].Diameter) })

	type cell struct{ x, y int64 }
	key := func(p geom.Point) cell { return cell{floorDiv(p.X, closeHits), floorDiv(p.Y, closeHits)} }
	grid := map[cell][]int{}
	var out []Hole
	var doubts []Doubt
	for _, i := range order {
		h := in[i]
		k := key(h.At)
		same := -1
	search:
		for dx := int64(-1); dx <= 1; dx++ {
			for dy := int64(-1); dy <= 1; dy++ {
				for _, j := range grid[cell{k.x + dx, k.y + dy}] {
					if sameHole(out[j], h) {
						same = j
						break search
					}
				}
			}
		}
		if same < 0 {
			grid[k] = append(grid[k], len(out))
			if h.To != h.At {
				e := key(h.To)
				grid[e] = append(grid[e], len(out))
			}
			out = append(out, h)
			continue
		}
		o := &out[same]
		if o.Plated != h.Plated {
			doubts = append(doubts, Doubt{File: h.File, Line: h.Line, What: fmt.Sprintf(
				"hole at %s is plated in one place and unplated in another (%s:%d): taken as plated", place(h.At), o.File, o.Line)})
			o.Plated = true
		}
		o.From, o.Til = min(o.From, h.From), max(o.Til, h.Til)
	}
	slices.SortStableFunc(out, func(a, b Hole) int {
		return cmp.Or(cmp.Compare(a.At.X, b.At.X), cmp.Compare(a.At.Y, b.At.Y), cmp.Compare(a.From, b.From))
	})
	return out, doubts
}

func sameHole(a, b Hole) bool {
	if a.From > b.Til || b.From > a.Til {
		return false
	}
	// A blind and a buried drilling that meet on one layer are two holes.
	if (a.From != b.From || a.Til != b.Til) && (a.From == b.Til || b.From == a.Til) {
		return false
	}
	return near(a.At, b.At) && near(a.To, b.To) || near(a.At, b.To) && near(a.To, b.At)
}

func near(a, b geom.Point) bool { return geom.Distance(a, b) <= closeHits }

func floorDiv(a, b int64) int64 {
	q := a / b
	if a%b != 0 && (a < 0) != (b < 0) {
		q--
	}
	return q
}

// place prints a point in millimetres, as places are written.
func place(p geom.Point) string {
	x, y := p.MM()
	return fmt.Sprintf("%.3f,%.3f", x, y)
}

// Holds tells whether p lies inside the hole or slot, its rim included.
func (h Hole) Holds(p geom.Point) bool {
	return geom.DistPointSegment(p, h.At, h.To) <= float64(h.Diameter)/2
}

// holeGrid finds holes near a point.
type holeGrid struct {
	holes []Hole
	cell  int64
	cells map[[2]int64][]int
}

func newHoleGrid(holes []Hole) *holeGrid {
	g := &holeGrid{holes: holes, cell: 1_000_000, cells: map[[2]int64][]int{}}
	for i, h := range holes {
		r := h.Diameter/2 + 1
		x0, x1 := min(h.At.X, h.To.X)-r, max(h.At.X, h.To.X)+r
		y0, y1 := min(h.At.Y, h.To.Y)-r, max(h.At.Y, h.To.Y)+r
		for x := floorDiv(x0, g.cell); x <= floorDiv(x1, g.cell); x++ {
			for y := floorDiv(y0, g.cell); y <= floorDiv(y1, g.cell); y++ {
				g.cells[[2]int64{x, y}] = append(g.cells[[2]int64{x, y}], i)
			}
		}
	}
	return g
}

// at gives the first hole that holds p on the layer and meets want, or -1.
func (g *holeGrid) at(p geom.Point, layer int, want func(Hole) bool) int {
	for _, i := range g.cells[[2]int64{floorDiv(p.X, g.cell), floorDiv(p.Y, g.cell)}] {
		h := g.holes[i]
		if h.From <= layer && layer <= h.Til && want(h) && h.Holds(p) {
			return i
		}
	}
	return -1
}

func anyHole(Hole) bool      { return true }
func platedHole(h Hole) bool { return h.Plated }
