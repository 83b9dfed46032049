package session

import (
	"errors"
	"fmt"
	"time"

	"ohmward/internal/answer"
	"ohmward/internal/record"
)

// A case is worked on by one bench at a time, which holds it by a lease; another
// one shows what it does, and may take the case over. What another hand writes into
// the case file is taken up where it only adds; else the person at the bench says
// which counts, and both are kept in the journal.

// attention is how often an open case that is watched looks at its file.
const attention = time.Second

// renewal is how often a lease is renewed.
const renewal = 10 * time.Second

// attend looks after a case's file and lease while somebody watches the case.
func (j *Session) attend() {
	tick := time.NewTicker(attention)
	defer tick.Stop()
	for {
		select {
		case <-j.ctx.Done():
			return
		case <-tick.C:
		}
		if !j.watched() {
			_ = j.locked(func() error { j.syncWire(); return nil })
			continue
		}
		j.mu.Lock()
		_ = j.hold(false) // who holds it is shown; what else fails is told at the next act
		moved, _ := j.lookAtFile()
		j.syncWire()
		j.mu.Unlock()
		if moved {
			j.changed()
			j.saveSnapshot()
		}
	}
}

func (j *Session) watched() bool {
	j.watch.Lock()
	defer j.watch.Unlock()
	return len(j.watchers) > 0
}

// hold takes or renews the lease, and notes who has it otherwise.
func (j *Session) hold(take bool) error {
	if !take && j.holder == "" && time.Since(j.renewed) < renewal {
		return nil
	}
	was := j.holder
	err := j.store.Hold(take)
	var held *record.HeldError
	switch j.holder = ""; {
	case errors.As(err, &held):
		j.holder = held.Lease.Bench
	case err == nil:
		j.renewed = time.Now()
	}
	if j.holder != was {
		j.viewed.Add(1)
		j.notify()
	}
	return err
}

// lookAtFile takes up what another hand made of the case file, or notes the conflict; it
// tells whether what is shown changed, and whether what the case says did: what a person
// answers to what was shown before may then mean another thing.
func (j *Session) lookAtFile() (moved, rewritten bool) {
	if j.busy != "" {
		return false, false
	}
	f, err := j.store.Look(j.c)
	if err != nil {
		return false, false // the next act that writes tells it
	}
	had := j.conflict != nil
	j.conflict = nil
	switch {
	case f == nil, j.holder != "" && f.Beside(): // whoever works on the case settles a branch
		return had, false
	case f.Case != nil && (f.OnlyAdds || f.Follows || j.holder != ""):
		err := j.adopt(f)
		switch {
		case err == nil:
			return true, len(f.Changes) > 0
		case errors.Is(err, record.ErrChanged): // again, since the look: the next one tells it
			return had, false
		}
		f.Changes = append(f.Changes, answer.TroubleOf(err).What)
	}
	j.conflict = f
	return !had, false
}

// adopt goes on from what another hand made of the case.
func (j *Session) adopt(f *record.Foreign) error {
	next := f.Case
	if next.Steps == nil {
		next.Steps = &record.Steps{}
	}
	if next.Steps.Revision <= j.c.Steps.Revision && j.holder == "" {
		next.Steps.Revision = j.c.Steps.Revision + 1
	}
	return j.replace(next, func() error { return j.store.Adopt(f) })
}

// takeOver takes the case from the bench that holds it.
func takeOver(j *Session, _ *record.Case, _ answer.Act) (bool, error) {
	if err := j.hold(true); err != nil {
		return false, answer.AsError(err)
	}
	j.lookAtFile()
	return false, nil
}

// settleConflict goes on from the file's state or from this bench's; the journal
// keeps both.
func settleConflict(ours bool) action {
	return func(j *Session, next *record.Case, _ answer.Act) (bool, error) {
		f := j.conflict
		switch {
		case f == nil:
			return false, &answer.Error{Kind: answer.Misuse, What: "nothing is in conflict"}
		case ours:
			next.Steps.Revision++
			if err := j.store.Overrule(f, next); err != nil {
				j.lookAtFile() // what is shown may be gone
				return false, j.notWritten(err)
			}
			j.c = next
		case f.Case == nil:
			return false, &answer.Error{Kind: answer.Misuse, What: "the case file cannot be read: " + f.Err.Error()}
		default:
			if err := j.adopt(f); err != nil {
				j.lookAtFile()
				return false, err
			}
		}
		j.conflict = nil
		return false, nil
	}
}

// ofHolding are the acts that say who works on the case, and from what.
var ofHolding = []string{"take-over", "keep-ours", "keep-file"}

// mayAct tells why nothing can be done to the case now, nil where it can.
func (j *Session) mayAct() error {
	if err := j.hold(false); err != nil && j.holder == "" {
		return j.notWritten(err)
	}
	if j.holder != "" {
		return &answer.Error{Kind: answer.Conflict, What: "another bench works on this case: " + j.holder,
			Hint: "take the case over first, if nobody works there"}
	}
	_, rewritten := j.lookAtFile()
	if rewritten {
		return &answer.Error{Kind: answer.Conflict, What: "this case has moved on: another hand or bench added to it",
			Hint: "look at where it stands now, then answer again if it is still needed"}
	}
	if j.conflict != nil {
		return &answer.Error{Kind: answer.Conflict,
			What: "the case file was changed by another hand: " + j.conflict.ChangesInWords(3),
			Hint: "nothing was written; say first which counts"}
	}
	return nil
}

const mostChanges = 6

// holdingCard is the card where the case cannot be worked on here; nil where it
// can.
func (j *Session) holdingCard(now answer.Card) *answer.Card {
	switch {
	case j.holder != "":
		return &answer.Card{Head: "Another bench works on this case",
			Text: []string{"It is " + j.holder + ". What it does is shown here as it goes.", "There: " + now.Head,
				"Take the case over only where nobody works there any more."},
			Speak: "Another bench works on this case.", Tone: "care",
			Doing: []answer.Option{{Words: "Take this case over", Aside: true, Act: answer.Act{Do: "take-over"}}}}
	case j.conflict != nil:
		c := &answer.Card{Head: "The case file was changed by another hand", Tone: "care",
			Text:  []string{"Which counts? The journal beside the file keeps both."},
			Speak: "The case file was changed by another hand. Which counts?",
			Doing: []answer.Option{{Words: "What this bench has", Note: "written over the file", Aside: true,
				Act: answer.Act{Do: "keep-ours"}}}}
		if j.conflict.Case != nil {
			c.Doing = append(c.Doing, answer.Option{Words: "What the file says", Note: "this bench goes on from it",
				Aside: true, Act: answer.Act{Do: "keep-file"}})
		}
		changes := j.conflict.Changes
		for _, words := range changes[:min(len(changes), mostChanges)] {
			c.Items = append(c.Items, answer.Item{Words: words})
		}
		if more := len(changes) - mostChanges; more > 0 {
			c.Items = append(c.Items, answer.Item{Words: fmt.Sprintf("and %d more", more)})
		}
		return c
	}
	return nil
}
