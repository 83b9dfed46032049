package boardread

import (
	"cmp"
	"fmt"
	"slices"

	"ohmward/geom"
	"ohmward/internal/board"
)

// mergeHoles counts the same hit once: two holes or slots whose ends lie
// within closeHits of each other, on overlapping spans, are one, the larger.
// Where they disagree on plating it counts as plated and is a doubt.
func mergeHoles(in []board.Hole) ([]board.Hole, []board.Doubt) {
	order := make([]int, len(in))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(in[b].Diameter, in[a].Diameter) })

	type cell struct{ x, y int64 }
	key := func(p geom.Point) cell { return cell{geom.FloorDiv(p.X, closeHits), geom.FloorDiv(p.Y, closeHits)} }
	grid := map[cell][]int{}
	var out []board.Hole
	var doubts []board.Doubt
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
			doubts = append(doubts, board.Doubt{File: h.File, Line: h.Line, What: fmt.Sprintf(
				"hole at %s is plated in one place and unplated in another (%s:%d): taken as plated", place(h.At), o.File,
				o.Line)})
			o.Plated = true
		}
		o.First, o.Last = min(o.First, h.First), max(o.Last, h.Last)
	}
	slices.SortStableFunc(out, func(a, b board.Hole) int {
		return cmp.Or(cmp.Compare(a.At.X, b.At.X), cmp.Compare(a.At.Y, b.At.Y), cmp.Compare(a.First, b.First))
	})
	return out, doubts
}

func sameHole(a, b board.Hole) bool {
	if a.First > b.Last || b.First > a.Last {
		return false
	}
	// A blind and a buried drilling that meet on one layer are two holes.
	if (a.First != b.First || a.Last != b.Last) && (a.First == b.Last || b.First == a.Last) {
		return false
	}
	return near(a.At, b.At) && near(a.To, b.To) || near(a.At, b.To) && near(a.To, b.At)
}

func near(a, b geom.Point) bool { return geom.Distance(a, b) <= closeHits }

// place prints a point in millimetres, as places are written.
func place(p geom.Point) string {
	x, y := p.MM()
	return fmt.Sprintf("%.3f,%.3f", x, y)
}
