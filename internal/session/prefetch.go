package session

import (
	"time"

	"ohmward/internal/answer"
)

// untilDrawn is left to the windows, to draw what has changed, before work for
// the next reading takes the cores; no tip moves in less.
const untilDrawn = 400 * time.Millisecond

// prefetch computes, while the tips are on their way, what the reading that is
// asked for will be held against: most of the work that a reading makes.
func (j *Session) prefetch() {
	j.mu.Lock()
	defer j.mu.Unlock()
	if j.prefetching != nil {
		j.prefetching.Stop() // what was asked for is asked for no more
	}
	if j.busy != "" || j.work == nil || j.pair == nil || j.pair.Predictions == nil || j.step() != stepRead &&
		j.step() != stepSwap && j.step() != stepNull {
		return
	}
	c, ok := j.nextChoice()
	if !ok {
		return
	}
	at, err := j.pair.ContactsNamed(c.Kind == "four-wire", c.From, c.To, c.Current, c.Sense)
	if err != nil {
		return
	}
	for _, n := range j.pair.Predictions.Networks {
		if n.Solver == j.work.Solver { // as the copper now is
			f := j.pair.Prefetch(n, at)
			j.prefetching = time.AfterFunc(untilDrawn, func() {
				j.background(func() { _, _ = f.Get() }) // whoever reads it gets its error
			})
			return
		}
	}
}

// nextChoice is the pair of places that the next reading will be taken at.
func (j *Session) nextChoice() (answer.Choice, bool) {
	if j.aim != nil {
		return *j.aim, true
	}
	if len(j.answer.Next) == 0 {
		return answer.Choice{}, false
	}
	return choiceOf(j.answer.Next[0]), true
}
