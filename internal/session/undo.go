package session

import (
	"encoding/json"
	"errors"

	"ohmward/internal/answer"
	"ohmward/internal/record"
)

// takeBack takes back exactly one press: the case is again what its journal says it
// was before the last act that was not itself taken back. Pressed again it goes
// further back, also after the program was started anew.
func takeBack(j *Session, _ *record.Case, a answer.Act) (bool, error) {
	if n := len(j.live.touches); j.wire != nil && n > 0 { // the last touch of a reading under way
		j.live.touches, j.live.raw = j.live.touches[:n-1], j.live.raw[:n-1]
		return false, nil
	}
	past, err := j.store.Before()
	if err != nil {
		return false, noWayBack(err)
	}
	next := past.Case
	if next.Steps == nil {
		next.Steps = &record.Steps{}
	}
	next.Steps.Revision = j.c.Steps.Revision + 1
	begun := j.c.Steps.Doing
	j.liftTips()
	if j.sim != nil {
		j.sim.endRework() // one that the case goes back to begins anew
	}
	if err := j.replace(next, func() error { return j.store.TakeBack(past, next, a) }); err != nil {
		return false, err
	}
	if j.board != nil {
		j.trouble = nil // it was of what is taken back
	}
	if begun != nil && next.Steps.Doing == nil {
		j.showAgain(*begun)
	}
	var led answer.Act
	if json.Unmarshal(past.Led, &led) == nil && led.Do == "again" {
		if r, err := readingOf(next, led.N); err == nil {
			j.aimAgain(r, led.N) // the touch was taken back, not that it is one more
		}
	}
	return false, nil
}

// showAgain shows the move whose beginning was taken back: which one was looked at
// is on no record, but what was begun is.
func (j *Session) showAgain(d record.Doing) {
	for i, m := range j.moves() {
		if is := j.findingToCome(m); *is == d {
			j.move = i
			return
		}
	}
}

// byHand is what helps where no press does.
const byHand = "correct what is wrong in its place: a reading can be edited, doubted or dropped in the list"

// noWayBack says why nothing is taken back.
func noWayBack(err error) error {
	switch {
	case errors.Is(err, record.ErrFirst):
		return &answer.Error{Kind: answer.Misuse, What: "there is nothing to take back: " + err.Error()}
	case errors.Is(err, record.ErrOtherHand), errors.Is(err, record.ErrNotKept):
		return &answer.Error{Kind: answer.Misuse, What: err.Error(), Hint: byHand}
	}
	return answer.AsError(err)
}

// undoView says whether the last act can be taken back, and why not where there was
// one.
func (j *Session) undoView(v *answer.View) {
	_, err := j.store.LastAct()
	v.CanUndo = err == nil || j.wire != nil && len(j.live.touches) > 0
	if err != nil && !errors.Is(err, record.ErrFirst) {
		v.NoUndo = upper(err.Error()) + "."
	}
}
