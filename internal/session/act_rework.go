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
				Why: t.Why, Probability: t.Chance})
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
	endLook(next)
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
		if err := j.meterAgainst(a.Text == "open"); err != nil {
			return false, err
		}
		f.Short, f.Heated = a.Text, j.heatedBy(f)
		next.Findings = append(next.Findings, f)
	case "bridge", "nothing":
		if d.Done != "cleaned" {
			return false, &answer.Error{Kind: answer.Misuse, What: "seeing goes with looking"}
		}
		if j.live.steadySeen {
			if err := j.meterAgainst(false); err != nil {
				return false, err
			}
		}
		if a.Text == "bridge" {
			j.askSeen(next, "where")
			return true, nil
		}
		f.Short = "remains"
		look := f
		look.Done, look.Short, look.Seen = "looked", "", a.Text
		next.Findings = append(next.Findings, f, look)
	default:
		return false, &answer.Error{Kind: answer.Misuse, What: fmt.Sprintf("%.20q is no outcome", a.Text)}
	}
	if engine.Heats(d.Done) {
		next.Steps.Hot = j.folder.now().UTC().Truncate(time.Second)
	}
	next.Steps.Proof = record.Proof{}
	endLook(next)
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
