package session

import (
	"fmt"
	"slices"

	"ohmward/internal/answer"
	"ohmward/internal/record"
)

// misfit reports readings that one short does not explain, and offers to
// touch the worst again.
func (j *Session) misfit(c *answer.Card) []answer.Option {
	f := j.answer.Fit
	if len(j.c.Readings) == 0 || f.Verdict == answer.OneShort {
		return nil
	}
	c.Tone = "care"
	c.Text = append([]string{upper(f.Verdict) + ": " + f.Note + "."}, c.Text...)
	if f.Neighbour != "" {
		c.Text = append(c.Text, upper(f.Neighbour)+".")
	}
	if f.WorstReading == nil || j.aim != nil {
		return nil
	}
	n := *f.WorstReading
	return []answer.Option{
		{Words: fmt.Sprintf("Touch the places of reading %d again", n+1), Act: answer.Act{Do: "again", N: n}},
		{Words: fmt.Sprintf("Mark reading %d doubtful", n+1), Act: answer.Act{Do: "doubt", N: n}},
	}
}

// mostTouches is how many touches of one reading are asked for by themselves.
const mostTouches = 3

// oddFirst makes it the main thing, wherever it can be done, to touch the reading again
// that the others disagree with.
func (j *Session) oddFirst(step string, c *answer.Card) {
	n, is := j.oddReading()
	if !is || !j.canTouchAgain(step, j.c.Readings[n]) {
		return
	}
	again := answer.Option{Words: fmt.Sprintf("Touch the places of reading %d again", n+1),
		Act: answer.Act{Do: "again", N: n}}
	c.Doing = slices.DeleteFunc(c.Doing, func(o answer.Option) bool { return o.Act.Do == "again" })
	c.Doing = append([]answer.Option{again}, c.Doing...)
}

// oddReading is the reading to be touched again; false where there is none, or it was
// touched often enough.
func (j *Session) oddReading() (n int, is bool) {
	if j.answer == nil || j.answer.Fit.Verdict != answer.Disagree || j.answer.Fit.WorstReading == nil ||
		j.aim != nil {
		return 0, false
	}
	n = *j.answer.Fit.WorstReading
	return n, n < len(j.c.Readings) && len(j.c.Readings[n].Touches) < mostTouches
}

// canTouchAgain tells whether a reading touched at a step is one more touch of the same:
// two-wire it needs a good null, which comes first and cannot be passed over. Under a
// rework the board is warm, or a part is off it, and once the short was seen open there
// is none to read; a look changes nothing of the board.
func (j *Session) canTouchAgain(step string, r record.Reading) bool {
	switch step {
	case stepRead, stepCheck, stepRepair:
		return j.live.stop == nil
	case stepNull:
		return j.live.stop == nil && r.FourWire
	case stepRework:
		return j.lookUnderWay()
	}
	return false
}
