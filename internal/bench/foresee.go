package bench

import (
	"sync"
	"time"

	"ohmward/internal/conduct"
	"ohmward/internal/locate"
)

// memo keeps what a case needs again and again while it grows: networks, and
// what readings in them are predicted as. Whoever holds the job may use it.
type memo struct {
	networks []*network
	readings map[memoKey]*foreseen
	last     *locate.Posterior // of the case as it was weighed last
	given    locate.Case       // that case
}

// memoKey is a reading's contacts in one network.
type memoKey struct {
	in       *network
	at       conduct.Reading
	fourWire bool
}

// foreseen is what a reading is predicted as, once that is computed.
type foreseen struct {
	once    sync.Once
	compute func()
	reading locate.Reading
	err     error
}

// get computes what nobody has computed yet, or waits for whoever does.
func (f *foreseen) get() (locate.Reading, error) {
	f.once.Do(f.compute)
	return f.reading, f.err
}

func newMemo() *memo { return &memo{readings: map[memoKey]*foreseen{}} }

// predictedIn turns contacts into a reading of a network. Its components are
// those of the whole network, an open part's being nothing.
func (s *session) predictedIn(n *network, c contacts) (locate.Reading, error) {
	if s.memo == nil {
		return s.predictedAnew(n, c)
	}
	return s.foresee(n, c).get()
}

// foresee looks a reading up.
func (s *session) foresee(n *network, c contacts) *foreseen {
	key := memoKey{n, s.fourContacts(c), c.fourWire}
	f := s.memo.readings[key]
	if f == nil {
		f = new(foreseen)
		f.compute = func() { f.reading, f.err = s.predictedAnew(n, c) }
		s.memo.readings[key] = f
	}
	return f
}

// untilDrawn is left to the windows, to draw what has changed, before work for
// the next reading takes the cores; no tip moves in less.
const untilDrawn = 400 * time.Millisecond

// foresee computes, while the tips are on their way, what the reading that is
// asked for will be held against: most of the work that a reading makes.
func (j *Job) foresee() {
	j.mu.Lock()
	defer j.mu.Unlock()
	if j.later != nil {
		j.later.Stop() // what was asked for is asked for no more
	}
	if j.busy != "" || j.work == nil || j.session == nil || j.session.memo == nil || j.step() != stepRead && j.step() != stepSwap && j.step() != stepNull {
		return
	}
	c, ok := j.ahead()
	if !ok {
		return
	}
	at, err := j.session.contactsNamed(c.Kind == "four-wire", c.From, c.To, c.Current, c.Sense)
	if err != nil {
		return
	}
	for _, n := range j.session.memo.networks {
		if n.solver == j.work.solver { // as the copper now is
			f := j.session.foresee(n, at)
			j.later = time.AfterFunc(untilDrawn, func() { _, _ = f.get() }) // whoever reads it gets its error
			return
		}
	}
}

// ahead is the pair of places that the next reading will be taken at.
func (j *Job) ahead() (Choice, bool) {
	if j.aim != nil {
		return *j.aim, true
	}
	if len(j.answer.Next) == 0 {
		return Choice{}, false
	}
	return choiceOf(j.answer.Next[0]), true
}
