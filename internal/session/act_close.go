package session

import (
	"fmt"
	"slices"
	"time"

	"ohmward/internal/answer"
	"ohmward/internal/engine"
	"ohmward/internal/record"
)

// partOff is what makes the board whole again after a repair: to fit a new part
// where one was taken off, to solder back what was lifted; nothing where it is whole,
// or where a part is said to stay off.
func partOff(c *record.Case) record.Doing {
	var off []record.Doing
	for _, f := range engine.InOrder(c.Findings) {
		off = slices.DeleteFunc(off, func(d record.Doing) bool { return d.Part == f.Part })
		if !slices.Contains(engine.Openers, f.Done) || f.Part == "" || slices.Contains(c.Steps.LeftOff, f.Part) {
			continue
		}
		back := record.Doing{Done: "refitted", Part: f.Part}
		if f.Done == "removed" {
			back.Done = "replaced"
		}
		off = append(off, back)
	}
	if len(off) == 0 {
		return record.Doing{}
	}
	return off[0]
}

// startRefit begins to make the board whole; what it reads then is proved anew.
func startRefit(j *Session, next *record.Case, _ answer.Act) (bool, error) {
	d := partOff(next)
	if d.Part == "" || j.step() != stepRefit {
		return false, &answer.Error{Kind: answer.Misuse, What: "no part is to be fitted now"}
	}
	next.Steps.Doing, next.Steps.Proof = &d, record.Proof{}
	if j.sim != nil {
		j.sim.rework(next, d)
	}
	return true, nil
}

// leaveOff says that the part asked about stays off.
func leaveOff(j *Session, next *record.Case, _ answer.Act) (bool, error) {
	d := partOff(next)
	if d.Part == "" || j.step() != stepRefit {
		return false, &answer.Error{Kind: answer.Misuse, What: "no part is to be fitted now"}
	}
	next.Steps.LeftOff = append(next.Steps.LeftOff, d.Part)
	return true, nil
}

// leaveAsked goes back from what was asked.
func leaveAsked(*Session, *record.Case, answer.Act) (bool, error) { return false, nil }

// recordCause grades how well the cause is known.
func recordCause(_ *Session, next *record.Case, a answer.Act) (bool, error) {
	if !slices.Contains(record.Causes, a.Text) {
		return false, &answer.Error{Kind: answer.Misuse, What: "the cause is seen, inferred or unknown"}
	}
	next.Steps.Cause = a.Text
	return true, nil
}

// proofChecks are what is left to do before a unit goes back (BENCH.md,
// Proof), in order.
var proofChecks = []struct{ name, words string }{
	{"tapped", "Clean and dry. Tap and flex the board: it stays open"},
	{"compared", "Read the same two places again: within 30 % of a good unit"},
	{"carried", "Look at what carried the fault current: fuse, regulator, connector, thin tracks"},
	{"powered", "Power up from a tenth of the supply, limited to a good unit's current plus a fifth"},
	{"tested", "The unit's own test or calibration has passed"},
}

// tickCheck notes a check as done, or takes the note back.
func tickCheck(_ *Session, next *record.Case, a answer.Act) (bool, error) {
	s := next.Steps
	for _, c := range proofChecks {
		if c.name != a.Text {
			continue
		}
		if i := slices.Index(s.Checks, a.Text); i >= 0 {
			s.Checks = slices.Delete(s.Checks, i, i+1)
		} else {
			s.Checks = append(s.Checks, a.Text)
		}
		return true, nil
	}
	return false, &answer.Error{Kind: answer.Misuse, What: "there is no such check"}
}

// undone lists in words what was not done before the unit goes back.
func undone(c *record.Case) (out []string) {
	for _, k := range proofChecks {
		if !slices.Contains(c.Steps.Checks, k.name) {
			out = append(out, k.words)
		}
	}
	for _, part := range c.Steps.LeftOff {
		out = append(out, part+" is not fitted as it was")
	}
	return out
}

// closeUndone is what closing says where the person knows what was left undone.
const closeUndone = "undone"

// closeCase closes a case: only with its short proved gone and the cause stated.
// What was left undone is asked about once.
func closeCase(j *Session, next *record.Case, a answer.Act) (bool, error) {
	left := undone(next)
	switch {
	case j.step() == stepRefit:
		return false, &answer.Error{Kind: answer.Misuse,
			What: partOff(next).Part + " is off: the proof counts with the board whole"}
	case !isCleared(next):
		return false, &answer.Error{Kind: answer.Misuse, What: "the short is not proved gone yet"}
	case next.Steps.Cause == "":
		return false, &answer.Error{Kind: answer.Misuse, What: "say first how well the cause is known"}
	case len(left) > 0 && a.Text != closeUndone:
		j.ask = undoneCard(left)
		return false, nil
	}
	next.Steps.Closed = j.folder.now().UTC().Truncate(time.Second)
	return true, nil
}

// undoneCard asks whether to close with so much left undone. Its main button goes
// back, so that no run of presses closes a case.
func undoneCard(left []string) *answer.Card {
	c := &answer.Card{Head: "Close with this left undone?", Tone: "care",
		Doing: []answer.Option{{Words: "Back: do it first", Act: answer.Act{Do: "back"}},
			{Words: "Close the case all the same", Note: "this stays noted as not done",
				Act: answer.Act{Do: "close", Text: closeUndone}}}}
	for _, words := range left {
		c.Items = append(c.Items, answer.Item{Words: words})
	}
	c.Speak = fmt.Sprintf("%s %s.", c.Head, countWords(len(left), "thing"))
	return c
}
