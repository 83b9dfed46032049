package copper

import (
	"ohmward/geom"
	"ohmward/internal/board"
)

// chordError is how far, in nanometres, the polygon of a hole may stay inside
// its circle.
const chordError = 250

// holeRing is the outline of a hole or slot.
func holeRing(h board.Hole) geom.Ring {
	return geom.Stroke(h.At, h.To, h.Diameter, chordError)
}

// holeRings are the outlines of all holes through a layer.
func holeRings(b *board.Board, layer int) []geom.Ring {
	var holes []geom.Ring
	for _, h := range b.Holes {
		if h.Spans(layer) && h.Diameter > 0 {
			holes = append(holes, holeRing(h))
		}
	}
	return holes
}

func ringsOf(r geom.Region) []geom.Ring {
	var out []geom.Ring
	r.Rings(func(r geom.Ring) { out = append(out, r) })
	return out
}
