package session

import (
	"fmt"
	"math"

	"ohmward/internal/answer"
	"ohmward/internal/record"
	"ohmward/unit"
)

// When the null is checked, and by how much the fixed place may have moved
// (BENCH.md, Readings): 2 mohm, or what touches differ by at that noise.
const (
	checkReadings = 5
	checkOhms     = 2e-3
	checkSigmas   = 2.5
)

// sinceNull is the number of the first reading under the present null.
func sinceNull(c *record.Case) int {
	if n := len(c.Nulls); n > 0 {
		return c.Nulls[n-1].After
	}
	return 0
}

// checkReading gives the reading whose places are touched to check the null: the
// first two-wire one under it, or -1.
func (j *Session) checkReading() int {
	for i := sinceNull(j.c); i < len(j.c.Readings); i++ {
		if r := j.c.Readings[i]; !r.FourWire && !r.Ohms.IsOpen() && r.Unit == "" {
			return i
		}
	}
	return -1
}

// checkDue tells whether the fixed place is to be touched again.
func (j *Session) checkDue() bool {
	from := max(sinceNull(j.c), j.c.Steps.Checked)
	return j.aim == nil && len(j.c.Readings)-from >= checkReadings && j.checkReading() >= 0
}

// nullTolerance tells how far the fixed place may have moved, in ohms.
func (j *Session) nullTolerance() float64 {
	return max(checkOhms, checkSigmas*math.Sqrt2*j.work.Meter.OneTouch(false))
}

// checkNull takes the fixed place's value: near enough, and the null is good;
// else what was read since is doubtful and the leads are nulled again.
func (j *Session) checkNull(next *record.Case, ohms unit.Resistance) {
	was := next.Readings[j.checkReading()].Ohms
	if math.Abs(float64(ohms-was)) <= j.nullTolerance() {
		next.Steps.Checked = len(next.Readings)
		return
	}
	next.Steps.Drifted = true
	j.doubtSinceNull(next, true)
}

// doubtSinceNull marks the two-wire readings since the last check or null.
func (j *Session) doubtSinceNull(c *record.Case, doubtful bool) {
	for i := max(sinceNull(c), c.Steps.Checked); i < len(c.Readings); i++ {
		if r := &c.Readings[i]; !r.FourWire {
			if r.Doubtful = nil; doubtful {
				r.Doubtful = &doubtful
			}
		}
	}
}

func (j *Session) checkCard(v *answer.View) answer.Card {
	n := j.checkReading()
	c := answer.Card{Head: "Is the null still good?",
		Text: []string{fmt.Sprintf("Five readings on: touch the places of reading %d again. It read %s, and "+
			"should be within %s of that.",
			n+1, j.ohms(j.c.Readings[n].Ohms, false), j.ohms(unit.Resistance(j.nullTolerance()), false))}}
	j.tips("Put the tips down", "It reads", &c)
	c.Speak = c.Head + " " + spoken(v.Target)
	return c
}
