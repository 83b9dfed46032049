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
	return slices.ContainsFunc(n.Board.Parts, func(part board.Part) bool {
		return part.Side == side && part.Ref != ref && len(part.Body) >= 3 && part.Body.Bounds().Holds(at) &&
			!slices.Contains(n.off, part.Ref) && part.Body.Contains(at) && !n.asBoard(&part)
	})
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
	i := slices.IndexFunc(n.Board.Parts, func(part board.Part) bool { return part.Ref == p.Ref })
	if i < 0 {
		return false
	}
	part := &n.Board.Parts[i]
	return part.Array && p.Hole < 0 ||
		len(part.Pads) > 4 && len(part.Body) >= 3 && inset(part.Body, p.Shape) > rowDepth
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
