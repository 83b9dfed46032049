package bench

import (
	"math"
	"strings"

	"ohmward/internal/board"
	"ohmward/internal/locate"
	"ohmward/internal/repair"
)

// repairs lists what to try, in the order advised. Nothing is advised before
// the first reading, nor for readings that are of no short.
func (w *work) repairs(post *locate.Posterior) []Repair {
	out := []Repair{}
	if len(w.readings) == 0 || post.Fit.Verdict == locate.NotShort || len(post.Places) == 0 {
		return out
	}
	rank := map[int]int{}
	for i, pl := range post.Places {
		for _, s := range pl.Sites {
			rank[s] = i + 1
		}
	}
	for _, a := range repair.Advise(post, w.repairParts()) {
		r := Repair{What: a.What, Part: a.Part, Probability: a.Probability, Minutes: a.Minutes, DamageRisk: a.DamageRisk, Why: a.Why}
		if a.Site >= 0 {
			r.Site = rank[a.Site]
		}
		out = append(out, r)
	}
	return out
}

// repairParts says of every part what lifting it costs.
func (w *work) repairParts() []repair.Part {
	var out []repair.Part
	for _, p := range w.board.Parts {
		out = append(out, repair.Part{
			Ref: p.Ref, Pins: w.pins(p), PitchMM: w.pitch(p), BigTabs: w.bigTabs(p),
			Ceramic: strings.HasPrefix(p.Ref, "C") && len(p.Pads) == 2,
			Heats:   w.heats(p.Ref),
		})
	}
	return out
}

// pitch is the least distance between two pins of a part, in millimetres.
func (w *work) pitch(p board.Part) float64 {
	least := math.Inf(1)
	for i, a := range p.Pads {
		for _, b := range p.Pads[:i] {
			pa, pb := w.board.Pads[a], w.board.Pads[b]
			if pa.Pin != pb.Pin {
				least = min(least, distanceMM(pa.At, pb.At))
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

func (w *work) bigTabs(p board.Part) bool {
	for _, i := range p.Pads {
		if w.board.Pads[i].Shape.Area()*1e-12 > bigTab {
			return true
		}
	}
	return false
}

// heats counts how often a part's pads were heated, by the findings.
func (w *work) heats(ref string) int {
	n := 0
	for _, f := range w.findings {
		switch f.Done {
		case "removed", "lifted", "reflowed", "wicked":
			if f.Part == ref {
				n++
			}
		}
	}
	return n
}
