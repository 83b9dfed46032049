package copper

import (
	"math"

	"ohmward/geom"
	"ohmward/internal/board"
)

const (
	// rimSlack is the rounding of a rim's vertices, in nanometres.
	rimSlack = 3
	// leastRim is the length of shared rim, in nanometres, that makes a
	// touch; less is rounding. Copper that reaches one nanometre into a hole
	// of 0.3 mm shares about a micrometre of its rim.
	leastRim = 100
)

// rimPiece is a piece of copper that borders a plated hole.
type rimPiece struct {
	hole  int
	piece Piece
}

// rimsOf finds which pieces of a layer border which plated holes: those whose
// outline shares part of the drilled-out rim.
func (n *Nets) rimsOf(layer int) []rimPiece {
	var out []rimPiece
	for k, poly := range n.Layers[layer] {
		shared := map[int32]float64{}
		var order []int32
		poly.Rings(func(r geom.Ring) {
			r.Edges(func(e geom.Segment) {
				for _, i := range n.holes.Near(e.Bounds().Mid()) {
					h := n.Board.Holes[i]
					if h.Plated && h.Spans(layer) && onRim(h, e) {
						if _, seen := shared[i]; !seen {
							order = append(order, i)
						}
						shared[i] += geom.Distance(e.A, e.B)
					}
				}
			})
		})
		for _, i := range order {
			if shared[i] >= leastRim {
				out = append(out, rimPiece{int(i), Piece{layer, k}})
			}
		}
	}
	return out
}

// onRim tells whether an edge lies on the polygon of the hole's rim: within
// the chord error inside the circle and not outside it.
func onRim(h board.Hole, e geom.Segment) bool {
	r := float64(h.Diameter) / 2
	on := func(x, y float64) bool {
		d := distToAxis(h, x, y)
		return d <= r+rimSlack && d >= r-chordError-rimSlack
	}
	ax, ay, bx, by := float64(e.A.X), float64(e.A.Y), float64(e.B.X), float64(e.B.Y)
	return on(ax, ay) && on(bx, by) && on((ax+bx)/2, (ay+by)/2)
}

func distToAxis(h board.Hole, x, y float64) float64 {
	ax, ay := float64(h.At.X), float64(h.At.Y)
	dx, dy := float64(h.To.X)-ax, float64(h.To.Y)-ay
	px, py := x-ax, y-ay
	if l := dx*dx + dy*dy; l > 0 {
		t := min(max((px*dx+py*dy)/l, 0), 1)
		px, py = px-t*dx, py-t*dy
	}
	return math.Hypot(px, py)
}

// overlapping lists the pairs of plated holes whose walls run into each
// other, as the strokes of a routed slot do.
func overlapping(holes []board.Hole, grid *board.HoleGrid) [][2]int {
	var out [][2]int
	for i, h := range holes {
		if !h.Plated {
			continue
		}
		done := map[int32]bool{}
		for cell := range grid.Cells(h.Bounds()) {
			for _, j := range cell {
				o := holes[j]
				if int(j) <= i || done[j] || !o.Plated || o.First > h.Last || h.First > o.Last {
					continue
				}
				done[j] = true
				if h.Gap(o) < 0 {
					out = append(out, [2]int{i, int(j)})
				}
			}
		}
	}
	return out
}
