package session

import (
	"time"

	"ohmward/internal/answer"
	"ohmward/internal/locate"
	"ohmward/internal/record"
)

// The steps of a session, in their order. A step follows from what the case holds,
// so that a case opened again stands where it stood.
const (
	stepNets     = "nets"     // which two touch
	stepPolarity = "polarity" // which is the more negative
	stepMetal    = "metal"    // bodies that the files do not show
	stepCautions = "cautions" // before any probe
	stepSwap     = "swap"     // is it metal?
	stepNull     = "null"     // the leads
	stepCheck    = "check"    // is the null still good?
	stepRead     = "read"     // the next two places
	stepRepair   = "mend"     // what to do about it
	stepRework   = "rework"   // with the iron in the hand
	stepSeen     = "seen"     // what a look has shown
	stepCool     = "cool"     // seen open: let it cool
	stepLeads    = "leads"    // do both leads touch?
	stepAcross   = "across"   // and the nets again
	stepRefit    = "refit"    // cleared; the board is made whole again
	stepProven   = "proven"   // cleared; what is left to do
	stepClosed   = "closed"
)

// When a null is old (BENCH.md, Readings).
const (
	nullReadings = 10
	nullAge      = 5 * time.Minute
	swapValues   = 3
)

// step tells where a case stands.
func (j *Session) step() string {
	c := j.c
	s := c.Steps
	switch {
	case c.Nets[0] == "":
		return stepNets
	case j.board != nil && j.board.polarityToAsk(c):
		return stepPolarity
	case j.board != nil && j.board.metalToAsk(c) != nil:
		return stepMetal
	case !s.Cautions:
		return stepCautions
	case !s.Closed.IsZero():
		return stepClosed
	case s.Doing != nil && s.Seeing.Asks != "":
		return stepSeen
	case s.Doing != nil:
		return stepRework
	case isCleared(c) && partOff(c).Part != "":
		return stepRefit
	case isCleared(c):
		return stepProven
	case isOpen(c) && !s.Proof.Cool:
		return stepCool
	case isOpen(c) && s.Proof.Leads == nil:
		return stepLeads
	case isOpen(c):
		return stepAcross
	case len(s.Swap) < swapValues && !s.Skipped && len(c.Readings) == 0:
		return stepSwap
	case s.Turn == "mend", s.Turn == "" && j.enough():
		return stepRepair
	case (j.nullIsOld() || s.Drifted) && !j.fourWireAgain():
		return stepNull
	case j.checkDue():
		return stepCheck
	}
	return stepRead
}

// enough tells whether readings have said what they can.
func (j *Session) enough() bool {
	return j.answer != nil && len(j.c.Readings) > 0 && (j.answer.Enough || len(j.answer.Next) == 0) &&
		j.answer.Fit.Verdict != answer.Disagree && len(j.moves()) > 0
}

// nullIsOld tells whether the leads want nulling, as of the last change: a
// step never turns into another while somebody looks at it.
func (j *Session) nullIsOld() bool {
	n := len(j.c.Nulls)
	if n == 0 {
		return true
	}
	last := j.c.Nulls[n-1]
	return len(j.c.Readings)-last.After >= nullReadings || !last.At.IsZero() && j.asOf.Sub(last.At) > nullAge
}

// fourWireAgain tells whether a four-wire reading is touched again: no null is in it.
func (j *Session) fourWireAgain() bool {
	return j.aim != nil && j.retouch > 0 && j.aim.Kind == "four-wire"
}

// lastOutcome is what the last finding that bears on the short says of it.
func lastOutcome(c *record.Case) string {
	for i := len(c.Findings) - 1; i >= 0; i-- {
		if f := c.Findings[i]; f.Short != "" && f.Done != "split" {
			return f.Short
		}
	}
	return ""
}

// isOpen tells whether the short was seen open, and no more.
func isOpen(c *record.Case) bool { return lastOutcome(c) == "open" }

// isCleared tells whether it was proved gone.
func isCleared(c *record.Case) bool { return lastOutcome(c) == "cleared" }

// isShort tells whether a value across the nets is that of a short.
func isShort(ohms float64) bool { return ohms < locate.OpenOhms }

// stateWords says in a word or two how far a case is.
func stateWords(c *record.Case) string {
	switch {
	case c.Steps != nil && !c.Steps.Closed.IsZero():
		return "closed"
	case isCleared(c):
		return "cleared, not yet closed"
	case isOpen(c):
		return "seen open, not yet proved"
	case c.Nets[0] == "":
		return "nets not chosen"
	case len(c.Readings) == 0:
		return "no reading yet"
	}
	return countWords(len(c.Readings), "reading")
}
