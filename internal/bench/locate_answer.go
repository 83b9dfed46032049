package bench

import (
	"ohmward/internal/answer"
	"ohmward/internal/engine"
	"ohmward/internal/locate"
	"ohmward/internal/repair"
)

// plan lists the readings worth taking, best first, and says whether another
// is worth its time.
func plan(w *engine.Locator, post *locate.Posterior, a *answer.Location) error {
	moves, advice, err := w.Reads(post)
	if err != nil {
		return err
	}
	a.Next = []answer.Next{}
	for _, m := range moves {
		a.Next = append(a.Next, NextAnswer(w, m))
	}
	a.Enough, a.EnoughWhy = advice.Enough, advice.Why
	return nil
}

// NextAnswer writes a reading worth taking as the answers have it.
func NextAnswer(w *engine.Locator, m locate.Move) answer.Next {
	n := answer.Next{Kind: "two-wire", Bits: m.Bits, Seconds: m.Seconds, Why: m.Why}
	c := w.ContactsOfMove(m)
	for _, spot := range c.Spots() {
		n.At = append(n.At, *PlaceAt(w.Pair.Board, spot))
	}
	r := w.ReadingAt(c)
	if !r.FourWire {
		n.From, n.To = r.From, r.To
		return n
	}
	n.Kind, n.Current, n.Sense = "four-wire", r.Current[:], r.Sense[:]
	return n
}

// pointing tells whether the readings point at places: there are some, and
// they are of a short.
func pointing(post *locate.Posterior) bool {
	return post.Fit.Verdict != locate.NoReading && post.Fit.Verdict != locate.NotShort && len(post.Places) > 0
}

// repairs lists what to try, in the order advised. Nothing is advised before
// the first reading, nor for readings that are of no short.
func repairs(w *engine.Locator, post *locate.Posterior) []answer.Repair {
	out := []answer.Repair{}
	if !pointing(post) {
		return out
	}
	rank := map[int]int{}
	for i, pl := range post.Places {
		for _, s := range pl.Sites {
			rank[s] = i + 1
		}
	}
	for _, a := range repair.Advise(post, w.Heated()) {
		r := answer.Repair{What: a.What, Part: a.Part, Probability: a.Probability, Minutes: a.Minutes,
			DamageRisk: a.DamageRisk, Why: a.Why, Care: a.Care}
		if a.Site >= 0 {
			r.Site = rank[a.Site]
		}
		out = append(out, r)
	}
	return out
}

// Answer weighs the suspects and says what to do next.
func Answer(w *engine.Locator) (*answer.Location, *locate.Posterior, error) {
	post, err := w.Posterior()
	if err != nil {
		return nil, nil, err
	}
	a := &answer.Location{
		Header: answer.NewHeader(), Nets: w.Names[:], Readings: len(w.Readings),
		Elsewhere: post.Elsewhere,
		Fit:       fitAnswer(post.Fit, len(w.Readings)),
		Repair:    repairs(w, post),
	}
	a.Sites, a.Places = places(w.Pair, post)
	if post.Fit.Verdict != locate.NoReading {
		a.Best = bestAnswer(w.Pair.Board, w.Best(post))
	}
	if err := plan(w, post, a); err != nil {
		return nil, nil, err
	}
	return a, post, nil
}

// fitAnswer writes the fit; what a finding measured is no reading of the
// case's, so it is never the worst one.
func fitAnswer(f locate.Fit, readings int) answer.Fit {
	out := answer.Fit{Verdict: f.Verdict, Chi2: f.Chi2, DoF: f.DoF, P: f.P, Note: f.Why}
	if f.Worst >= 0 && f.Worst < readings && f.Verdict != answer.OneShort {
		worst := f.Worst
		out.WorstReading = &worst
	}
	return out
}

// doubtful gives the error that goes with an answer not to be trusted.
func doubtful(a *answer.Location, other error) error {
	if a.Fit.Verdict == answer.Disagree || a.Fit.Verdict == answer.MoreThanOne ||
		a.Fit.Verdict == answer.Intermittent {
		return &answer.Error{Kind: answer.Doubtful, What: a.Fit.Verdict + ": " + a.Fit.Note}
	}
	return other
}
