package bench

import (
	"math"
	"slices"
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
	for _, a := range repair.Advise(post, w.heated()) {
		r := Repair{What: a.What, Part: a.Part, Probability: a.Probability, Minutes: a.Minutes, DamageRisk: a.DamageRisk, Why: a.Why}
		if a.Site >= 0 {
			r.Site = rank[a.Site]
		}
		out = append(out, r)
	}
	return out
}

// repairParts says of every part what lifting it costs.
func (p *opened) repairParts() []repair.Part {
	var out []repair.Part
	for _, q := range p.board.Parts {
		out = append(out, repair.Part{
			Ref: q.Ref, Pins: p.pins(q), PitchMM: p.pitch(q), BigTabs: p.bigTabs(q),
			Ceramic: strings.HasPrefix(q.Ref, "C") && len(q.Pads) == 2,
		})
	}
	return out
}

// heated gives the parts with how often the findings have heated each.
func (w *work) heated() []repair.Part {
	if len(w.findings) == 0 {
		return w.handling()
	}
	out := slices.Clone(w.handling())
	for i := range out {
		out[i].Heats = w.heats(out[i].Ref)
	}
	return out
}

// pitch is the least distance between two pins of a part, in millimetres.
func (p *opened) pitch(q board.Part) float64 {
	least := math.Inf(1)
	for i, a := range q.Pads {
		for _, b := range q.Pads[:i] {
			pa, pb := &p.board.Pads[a], &p.board.Pads[b]
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

func (p *opened) bigTabs(q board.Part) bool {
	for _, i := range q.Pads {
		if p.board.Pads[i].Shape.Area()*1e-12 > bigTab {
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
