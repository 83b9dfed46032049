package session

import (
	"fmt"
	"slices"
	"strings"

	"ohmward/geom"
	"ohmward/internal/answer"
	"ohmward/internal/bench"
	"ohmward/internal/copper"
	"ohmward/internal/engine"
	"ohmward/internal/locate"
	"ohmward/internal/record"
)

// ends are what may be said to be out of reach.
var ends = []string{"red", "black", "both"}

const (
	sameEndMM  = 1.0 // places nearer to one that cannot be reached cannot be either
	mostOthers = 6   // readings offered in place of another
)

// cannotReach takes it that an end of the reading at hand cannot be reached, and
// offers readings that leave it out.
func cannotReach(j *Session, _ *record.Case, a answer.Act) (bool, error) {
	c, ok := j.choice()
	if j.step() != stepRead || !ok || !slices.Contains(ends, a.Text) {
		return false, &answer.Error{Kind: answer.Misuse, What: "no places are asked for that could be out of reach"}
	}
	at, err := j.pair.ContactsNamed(c.Kind == "four-wire", c.From, c.To, c.Current, c.Sense)
	if err != nil {
		return false, answer.AsError(err)
	}
	at, _ = j.onTips(at)
	var out []geom.Point
	if a.Text != "black" {
		out = append(out, at.High.At)
	}
	if a.Text != "red" {
		out = append(out, at.Low.At)
	}
	moves, err := j.movesWithout(out, at.FourWire)
	if err != nil {
		return false, err
	}
	j.cannot, j.instead = a.Text, nil
	for _, m := range moves {
		j.instead = append(j.instead, bench.NextAnswer(j.work, m))
	}
	j.instead = j.distinct(j.instead)
	j.instead = j.instead[:min(len(j.instead), mostOthers)]
	return false, nil
}

// movesWithout gives the readings that touch none of some points; where the one at
// hand is four-wire, such ones first.
func (j *Session) movesWithout(out []geom.Point, four bool) ([]locate.Move, error) {
	away := func(_ int, p copper.ProbePlace) bool {
		return slices.ContainsFunc(out, func(at geom.Point) bool { return engine.DistanceMM(p.At, at) < sameEndMM })
	}
	moves, err := j.work.ReadsWithout(j.post, false, away)
	if err == nil && four {
		var more []locate.Move
		more, err = j.work.ReadsWithout(j.post, true, away)
		moves = append(more, moves...)
	}
	if err != nil {
		return nil, answer.AsError(err)
	}
	return moves, nil
}

// readFourWire aims at the four-wire reading that tells most for its time.
func readFourWire(j *Session, _ *record.Case, _ answer.Act) (bool, error) {
	if j.step() != stepRead || j.post == nil {
		return false, &answer.Error{Kind: answer.Misuse, What: "no reading is asked for here"}
	}
	moves, err := j.work.ReadsWithout(j.post, true, func(int, copper.ProbePlace) bool { return false })
	switch {
	case err != nil:
		return false, answer.AsError(err)
	case len(moves) == 0:
		return false, &answer.Error{Kind: answer.Misuse, What: "no four-wire reading would tell more here"}
	}
	j.aimFor(choiceOf(bench.NextAnswer(j.work, moves[0])))
	return false, nil
}

// aimFor chooses the places of the next reading.
func (j *Session) aimFor(c answer.Choice) { j.aim, j.retouch, j.cannot, j.instead = &c, 0, "", nil }

// fourWireOffer is on every reading card that says to use four-wire, while it asks for
// two-wire.
func fourWireOffer(t *answer.Target, c *answer.Card, typed bool) {
	says := slices.ContainsFunc(c.Text, func(says string) bool {
		return strings.Contains(says, "use four-wire")
	})
	if says && t != nil && t.Kind == "two-wire" {
		c.Doing = append(c.Doing, answer.Option{Words: "Read four-wire",
			Note: "two clips for the current, two tips for the volts", Aside: typed, Act: answer.Act{Do: "four-wire"}})
	}
}

// offered are the other readings on offer: those that leave out what cannot be
// reached, or the advised ones but that at hand. None is there twice.
func (j *Session) offered() []answer.Next {
	if j.cannot != "" {
		return j.instead
	}
	return j.distinct(j.answer.Next)
}

// distinct leaves out the reading at hand, what cannot be touched, and whatever is
// called the same as another.
func (j *Session) distinct(list []answer.Next) (out []answer.Next) {
	called := map[answer.Other]bool{}
	if c, ok := j.choice(); ok {
		called[j.placesOf(c)] = true
	}
	for _, n := range list {
		if o := j.placesOf(choiceOf(n)); o.From != "" && !called[o] {
			called[o] = true
			out = append(out, n)
		}
	}
	return out
}

// placesOf says in words where a reading is taken; nothing where it cannot be.
func (j *Session) placesOf(c answer.Choice) answer.Other {
	at, err := j.pair.ContactsNamed(c.Kind == "four-wire", c.From, c.To, c.Current, c.Sense)
	if err != nil {
		return answer.Other{}
	}
	at, _ = j.onTips(at)
	words := func(spot copper.Spot) string { return j.spotView(spot).Words }
	o := answer.Other{From: words(at.High), To: words(at.Low)}
	if at.FourWire {
		o.From = fmt.Sprintf("volts on %s and %s", o.From, o.To)
		o.To = fmt.Sprintf("clips on %s and %s", words(at.In), words(at.Out))
	}
	return o
}

// otherView is another reading with what it costs.
func (j *Session) otherView(n answer.Next) answer.Other {
	o := j.placesOf(choiceOf(n))
	o.Cost = fmt.Sprintf("%.1f bits, %.0f s", n.Bits, n.Seconds)
	return o
}
