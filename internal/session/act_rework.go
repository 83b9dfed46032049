package session

import (
	"fmt"
	"slices"
	"time"

	"ohmward/internal/answer"
	"ohmward/internal/engine"
	"ohmward/internal/locate"
	"ohmward/internal/record"
)

// actionOf names the finding of each advised repair.
var actionOf = map[string]string{
	"clean and look": "cleaned", "wick": "wicked", "reflow": "reflowed", "remove": "removed", "split": "split",
	"scrape": "scraped",
}

// moves are what could be done now, in the order advised.
func (j *Session) moves() []answer.Repair {
	if j.answer == nil {
		return nil
	}
	out := slices.Clone(j.answer.Repair)
	for _, t := range j.answer.Tests {
		if t.Kind == "split" {
			out = append(out, answer.Repair{What: "split", Part: t.Part, Minutes: t.Seconds / 60, DamageRisk: 0.01,
				Why: t.Why})
		}
	}
	return out
}

// showMove looks at another of the moves.
func showMove(j *Session, _ *record.Case, a answer.Act) (bool, error) {
	if a.N < 0 || a.N >= len(j.moves()) {
		return false, &answer.Error{Kind: answer.Misuse, What: "there is no such move"}
	}
	j.move = a.N
	return false, nil
}

// startMove begins the move that is shown.
func startMove(j *Session, next *record.Case, a answer.Act) (bool, error) {
	moves := j.moves()
	if j.move >= len(moves) {
		return false, &answer.Error{Kind: answer.Misuse, What: "there is nothing to try",
			Hint: "take another reading first"}
	}
	next.Steps.Doing = j.findingToCome(moves[j.move])
	next.Steps.Turn = "mend"
	next.Steps.Proof = record.Proof{}
	if j.sim != nil {
		j.sim.rework(next, *next.Steps.Doing)
	}
	return true, nil
}

// findingToCome writes a move as the finding that will come of it.
func (j *Session) findingToCome(m answer.Repair) *record.Doing {
	d := &record.Doing{Done: actionOf[m.What]}
	if d.Done == "removed" || d.Done == "split" {
		d.Part = m.Part
		return d
	}
	if i := m.Site - 1; i >= 0 && i < len(j.answer.Sites) {
		d.Place = j.midOf(j.answer.Sites[i])
	} else {
		d.Part = m.Part
	}
	return d
}

// midOf writes the middle of a site as a case file takes it.
func (j *Session) midOf(s answer.Site) string {
	return fmt.Sprintf("%s@%.3f,%.3f", s.Layer, (s.X+s.X2)/2, (s.Y+s.Y2)/2)
}

// findingOf is a move as the finding that will come of it.
func findingOf(p *engine.Board, d record.Doing) locate.Finding {
	f := locate.Finding{Part: d.Part, Done: d.Done}
	if d.Place != "" {
		if at, _, err := p.PlaceOf(d.Place); err == nil {
			f.HasPlace = true
			f.X, f.Y = at.MM()
		}
	}
	return f
}

// recordOutcome says what came of the move under way: "open", "remains", or of
// a look "bridge" and "nothing".
func recordOutcome(j *Session, next *record.Case, a answer.Act) (bool, error) {
	d := next.Steps.Doing
	if d == nil {
		return false, &answer.Error{Kind: answer.Misuse, What: "nothing is under way"}
	}
	f := record.Finding{After: len(next.Readings), Part: d.Part, Place: d.Place, Done: d.Done}
	switch a.Text {
	case "open", "remains":
		f.Short = a.Text
		next.Findings = append(next.Findings, f)
	case "bridge", "nothing":
		if d.Done != "cleaned" {
			return false, &answer.Error{Kind: answer.Misuse, What: "seeing goes with looking"}
		}
		f.Short = "remains"
		look := f
		look.Done, look.Short, look.Seen = "looked", "", a.Text
		next.Findings = append(next.Findings, f, look)
	default:
		return false, &answer.Error{Kind: answer.Misuse, What: fmt.Sprintf("%.20q is no outcome", a.Text)}
	}
	next.Steps.Doing, next.Steps.Proof = nil, record.Proof{}
	if a.Text == "open" && d.Done == "split" {
		next.Steps.Turn = ""
	}
	if j.sim != nil {
		j.liftTips() // what the tips read so far was the rework's
		j.sim.endRework()
	}
	return true, nil
}

func confirmCool(j *Session, next *record.Case, _ answer.Act) (bool, error) {
	if !isOpen(next) {
		return false, &answer.Error{Kind: answer.Misuse, What: "no short was seen open"}
	}
	next.Steps.Proof.Cool = true
	return true, nil
}

// judge takes the last value of the proof: open, and the short is cleared;
// else it remains.
func judge(next *record.Case, ohms float64) {
	for i := len(next.Findings) - 1; i >= 0; i-- {
		f := &next.Findings[i]
		if f.Short == "" || f.Done == "split" {
			continue
		}
		if isShort(ohms) {
			f.Short = "remains"
			next.Steps.Proof = record.Proof{}
		} else {
			f.Short = "cleared"
		}
		return
	}
}

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

// closeCase closes a case: only with its short proved gone and the cause stated.
func closeCase(j *Session, next *record.Case, _ answer.Act) (bool, error) {
	switch {
	case !isCleared(next):
		return false, &answer.Error{Kind: answer.Misuse, What: "the short is not proved gone yet"}
	case next.Steps.Cause == "":
		return false, &answer.Error{Kind: answer.Misuse, What: "say first how well the cause is known"}
	}
	next.Steps.Closed = j.folder.now().UTC().Truncate(time.Second)
	return true, nil
}
