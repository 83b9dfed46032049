package boardread

import (
	"fmt"

	"ohmward/geom"
	"ohmward/internal/board"
)

// Bounds on what drill files may ask for; real ones stay far below.
const (
	mostFar   = 10_000  // holes of a file off the board
	mostAgain = 200_000 // hits of a file that is read in another way
	mostTried = 20_000  // holes of a file that are held against the copper
	mostArea  = 20e6    // square millimetres of the boxes of all holes together
)

// farHoles refuses a drill file that has very many holes off the board: they are
// none of its holes, and cost time.
func (a *assembly) farHoles(file string, holes []board.Hole) error {
	if len(holes) <= mostFar {
		return nil
	}
	box := a.copperBounds().Join(a.b.Outline.Bounds())
	far := 0
	var first geom.Point
	for _, h := range holes {
		if !box.Holds(h.At) && !box.Holds(h.To) {
			if far++; far == 1 {
				first = h.At
			}
		}
	}
	if far <= mostFar {
		return nil
	}
	return fmt.Errorf("board: %s: %d of %d holes lie outside the board, as at %s: wrong unit, wrong origin or "+
		"another board's file", file, far, len(holes), place(first))
}

// areaOf is what the boxes of holes cover, in square millimetres, each side up to
// whole millimetres.
func areaOf(holes []board.Hole) float64 {
	sum := 0.0
	for _, h := range holes {
		b := h.Bounds()
		sum += float64(width(b)/1_000_000+1) * float64(height(b)/1_000_000+1)
	}
	return sum
}
