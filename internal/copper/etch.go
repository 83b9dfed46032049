package copper

import (
	"fmt"
	"strings"

	"ohmward/geom"
	"ohmward/internal/board"
)

// etched moves the edges of a layer's copper in. Copper that meets a plated
// hole's wall goes on meeting it: there the copper is covered, so the hole
// counts as copper while its land shrinks.
func etched(b *board.Board, layer int, etch int64) geom.Region {
	rings := ringsOf(b.Layers[layer].Copper)
	for _, h := range b.Holes {
		if h.Plated && h.Spans(layer) && h.Diameter > 0 {
			rings = append(rings, holeRing(h))
		}
	}
	return geom.Offset(geom.Fill(rings, geom.NonZero), -etch, chordError)
}

// noteEtched notes the copper of every layer that etching leaves nothing of, or
// parts: it is narrower than what its two edges lose.
func (n *Nets) noteEtched(etch int64) {
	n.noteLayers(func(l int) []board.Doubt { return n.etchedOn(l, etch) })
}

func (n *Nets) etchedOn(layer int, etch int64) []board.Doubt {
	drawn := n.Board.Layers[layer].Copper
	var changed geom.Region // what is not in one piece as before
	var left []int
	for k, parts := range partsOf(drawn, n.Layers[layer]) {
		if parts != 1 {
			changed, left = append(changed, drawn[k]), append(left, parts)
		}
	}
	if len(changed) == 0 {
		return nil
	}
	// Drilling alone may have done it.
	drilled, err := geom.CutBounded(changed, holeRings(n.Board, layer))
	if err != nil {
		drilled = changed
	}
	var gone, apart tally
	for k, before := range partsOf(changed, drilled) {
		switch {
		case left[k] == 0 && before > 0:
			gone.add(changed[k].Outer[0])
		case left[k] > before:
			apart.add(changed[k].Outer[0])
		}
	}
	var what []string
	if gone.count > 0 {
		what = append(what, gone.say("is gone", "are gone"))
	}
	if apart.count > 0 {
		what = append(what, apart.say("came apart", "came apart"))
	}
	if len(what) == 0 {
		return nil
	}
	return []board.Doubt{doubtOf(board.Label{File: n.Board.Layers[layer].File}, "with %.3g mm etched off every "+
		"edge nothing is left of copper narrower than %.3g mm on %s: %s; is the loss really that much?",
		float64(etch)*1e-6, 2*float64(etch)*1e-6, layerName(layer), strings.Join(what, ", "))}
}

// partsOf counts, for each polygon of a region, the pieces of another that lie
// in it.
func partsOf(whole, pieces geom.Region) []int {
	parts := make([]int, len(whole))
	at := geom.NewLocator(whole)
	for _, p := range pieces {
		for _, q := range p.Outer { // rounding may put a point outside
			if k := at.Locate(q); k >= 0 {
				parts[k]++
				break
			}
		}
	}
	return parts
}

// tally counts places and keeps the first.
type tally struct {
	count int
	first geom.Point
}

func (t *tally) add(at geom.Point) {
	if t.count++; t.count == 1 {
		t.first = at
	}
}

func (t *tally) say(one, several string) string {
	if t.count == 1 {
		return fmt.Sprintf("1 piece %s (at %s)", one, millimetres(t.first))
	}
	return fmt.Sprintf("%d pieces %s (the first at %s)", t.count, several, millimetres(t.first))
}
