package boardread

import (
	"cmp"
	"fmt"
	"slices"

	"ohmward/geom"
	"ohmward/internal/board"
)

// mostNear is how many holes and slots at one place are compared.
const mostNear = 200

// mergeHoles counts the same hit once: two holes or slots whose ends lie
// within closeHits of each other, on overlapping spans, are one, the larger.
// Where they disagree on plating it counts as plated and is a doubt.
func mergeHoles(in []board.Hole) ([]board.Hole, []board.Doubt) {
	in = slices.Clone(in)
	slices.SortStableFunc(in, func(a, b board.Hole) int { return cmp.Compare(b.Diameter, a.Diameter) })
	grid := newGrid[int](closeHits)
	var out []board.Hole
	var doubts []board.Doubt
	for _, h := range in {
		same, left := -1, mostNear
		for j := range grid.around(h.At) {
			if left--; left < 0 {
				break // a star of slots
			}
			if sameHole(out[j], h) {
				same = j
				break
			}
		}
		if same < 0 {
			grid.add(h.At, len(out))
			if h.To != h.At {
				grid.add(h.To, len(out))
			}
			out = append(out, h)
			continue
		}
		o := &out[same]
		if o.Plated != h.Plated {
			doubts = append(doubts, doubtOf(h.File, h.Line, "hole at %s is plated in one place and unplated in "+
				"another (%s:%d): taken as plated", place(h.At), o.File, o.Line))
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
