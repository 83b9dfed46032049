package engine

import (
	"math"
	"slices"
	"strings"

	"ohmward/internal/board"
	"ohmward/internal/repair"
)

// Pins counts a part's pins: several pads of one name are one pin.
func (p *Board) Pins(part board.Part) int {
	seen := map[string]bool{}
	for _, i := range part.Pads {
		seen[p.Layout.Pads[i].Terminal()] = true
	}
	return len(seen)
}

// repairParts says of every part what lifting it costs.
func (p *Board) repairParts() []repair.Part {
	var out []repair.Part
	for _, q := range p.Layout.Parts {
		out = append(out, repair.Part{
			Ref: q.Ref, Pins: p.Pins(q), PitchMM: p.pitch(q), BigTabs: p.bigTabs(q),
			Ceramic: strings.HasPrefix(q.Ref, "C") && len(q.Pads) == 2,
		})
	}
	return out
}

// Heated gives the parts with how often the findings have heated each.
func (w *Locator) Heated() []repair.Part {
	if len(w.findings) == 0 {
		return w.handling()
	}
	out := slices.Clone(w.handling())
	for i := range out {
		out[i].Heats = max(w.heats(out[i].Ref), w.heated.Of(w.Board, out[i].Ref))
	}
	return out
}

// pitch is the least distance between two pins of a part, in millimetres.
func (p *Board) pitch(q board.Part) float64 {
	least := math.Inf(1)
	for i, a := range q.Pads {
		for _, b := range q.Pads[:i] {
			pa, pb := &p.Layout.Pads[a], &p.Layout.Pads[b]
			if pa.Terminal() != pb.Terminal() {
				least = min(least, DistanceMM(pa.At, pb.At))
			}
		}
	}
	if math.IsInf(least, 1) {
		return 0
	}
	return least
}

// bigTab is the area, in square millimetres, from which a pad takes more heat
// than a hand iron gives easily.
const bigTab = 3.0

func (p *Board) bigTabs(q board.Part) bool {
	return slices.ContainsFunc(q.Pads, func(i int) bool { return p.Layout.Pads[i].Shape.Area()*1e-12 > bigTab })
}

// heats counts how often a part's pads were heated, by the findings.
func (w *Locator) heats(ref string) int {
	n := 0
	for _, f := range w.findings {
		if f.Part == ref && slices.Contains([]string{"removed", "lifted", "reflowed", "wicked"}, f.Done) {
			n++
		}
	}
	return n
}
