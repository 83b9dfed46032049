package session

import (
	"slices"

	"ohmward/internal/answer"
	"ohmward/internal/copper"
	"ohmward/internal/engine"
)

func choiceOf(n answer.Next) answer.Choice {
	return answer.Choice{Kind: n.Kind, From: n.From, To: n.To, Current: n.Current, Sense: n.Sense}
}

// choice is the pair of places that the session is at.
func (j *Session) choice() (answer.Choice, bool) {
	if j.pair == nil || j.answer == nil {
		return answer.Choice{}, false
	}
	switch j.step() {
	case stepSwap:
		return j.acrossChoice(true), true
	case stepAcross, stepRework, stepCool:
		return j.acrossChoice(false), true
	case stepLeads:
		return j.leadsChoice()
	case stepCheck:
		r := j.c.Readings[j.checkReading()]
		return answer.Choice{Kind: "two-wire", From: r.From, To: r.To}, true
	}
	if j.aim != nil {
		return *j.aim, true
	}
	if len(j.answer.Next) > 0 {
		return choiceOf(j.answer.Next[0]), true
	}
	return answer.Choice{}, false
}

// acrossChoice is two places across the nets: the advised ones first, or
// those of the last reading.
func (j *Session) acrossChoice(fresh bool) answer.Choice {
	for i := len(j.c.Readings) - 1; i >= j.sinceOpened() && !fresh; i-- {
		if r := j.c.Readings[i]; !r.FourWire && r.Unit == "" {
			return answer.Choice{Kind: "two-wire", From: r.From, To: r.To}
		}
	}
	for _, n := range j.answer.Next {
		if n.Kind == "two-wire" {
			return choiceOf(n)
		}
	}
	from, to := anyPlaces(j.pair)
	return answer.Choice{Kind: "two-wire", From: from, To: to}
}

// sinceOpened is the number of the first reading after the last part was
// opened: places touched before it may be cut off from the short.
func (j *Session) sinceOpened() int {
	from := 0
	for _, f := range j.c.Findings {
		if slices.Contains(engine.Openers, f.Done) && j.pair.IsTie(f.Part) {
			from = max(from, f.After)
		}
	}
	return from
}

// anyPlaces gives the widest place of each net.
func anyPlaces(s *engine.Pair) (from, to string) {
	out := [2]string{}
	for g := range out {
		if len(s.Probes[g]) > 0 {
			out[g] = s.PlaceText(s.Probes[g][0].Spot)
		}
	}
	return out[0], out[1]
}

// leadsChoice is two places on one net, to show that both leads touch: that
// of the last reading, and the nearest other on the same face.
func (j *Session) leadsChoice() (answer.Choice, bool) {
	last := j.acrossChoice(false)
	for g, text := range []string{last.From, last.To} {
		spot, err := j.pair.Resolve(text)
		if err != nil {
			continue
		}
		if other, ok := nearestPlace(j.pair, g, spot); ok {
			return answer.Choice{Kind: "two-wire", From: text, To: j.pair.PlaceText(other)}, true
		}
	}
	return answer.Choice{}, false
}

// nearestPlace gives the place on a group nearest to a spot, but not the spot
// itself.
func nearestPlace(s *engine.Pair, g int, spot copper.Spot) (copper.Spot, bool) {
	const apart = 0.8 // millimetres: two tips need some room
	best, found := copper.Spot{}, false
	for _, p := range s.Probes[g] {
		d := engine.DistanceMM(p.At, spot.At)
		if d >= apart && p.Net == spot.Net && p.Sides[s.FaceOf(spot)] &&
			(!found || d < engine.DistanceMM(best.At, spot.At)) {
			best, found = p.Spot, true
		}
	}
	return best, found
}
