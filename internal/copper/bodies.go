package copper

import (
	"slices"

	"ohmward/geom"
	"ohmward/internal/board"
)

const (
	// rowDepth is how far inside the hull of its part's pads a pad may lie
	// and still stick out from under the body, nanometres.
	rowDepth = 300_000
	// wholeBoard is the share of the board above which a part's guessed body
	// is the board's own shape (a module's or a shield's header set) and
	// hides nothing.
	wholeBoard = 0.5
)

// underBody tells whether a place lies under the body of a part other than
// ref.
func (n *Nets) underBody(side board.Side, at geom.Point, ref string) bool {
	for i := range n.Board.Parts {
		part := &n.Board.Parts[i]
		if part.Side != side || part.Ref == ref || len(part.Body) < 3 || !part.Body.Bounds().Holds(at) ||
			slices.Contains(n.off, part.Ref) {
			continue
		}
		if part.Body.Contains(at) && !n.asBoard(part) {
			return true
		}
	}
	return false
}

// asBoard tells whether a guessed body covers most of the board.
func (n *Nets) asBoard(part *board.Part) bool {
	whole := n.Board.Outline.Area()
	return part.Guessed && whole > 0 && part.Body.Area() > wholeBoard*whole
}

// underOwnBody tells whether a surface pad lies under its own part: balls of
// a grid array, and pads well inside the ring of a part with more than four
// pads.
func (n *Nets) underOwnBody(p *board.Pad) bool {
	if slices.Contains(n.off, p.Ref) {
		return false
	}
	if p.Function == "BGAPad" {
		return true
	}
	for i := range n.Board.Parts {
		part := &n.Board.Parts[i]
		if part.Ref != p.Ref {
			continue
		}
		if part.Array && p.Hole < 0 {
			return true
		}
		if len(part.Pads) <= 4 || len(part.Body) < 3 {
			return false
		}
		return inset(part.Body, p.Shape) > rowDepth
	}
	return false
}

// inset is how far inside the ring a shape lies, in nanometres; 0 where it
// sticks out.
func inset(body geom.Ring, shape geom.Region) float64 {
	least := -1.0
	shape.Rings(func(r geom.Ring) {
		for _, v := range r {
			if !body.Contains(v) {
				least = 0
				return
			}
			body.Edges(func(e geom.Segment) {
				if d := geom.DistPointSegment(v, e.A, e.B); least < 0 || d < least {
					least = d
				}
			})
		}
	})
	return least
}
