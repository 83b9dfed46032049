package bench

import (
	"ohmward/internal/conduct"
	"ohmward/internal/locate"
)

// memo keeps what a case needs again and again while it grows: networks, and
// what readings in them are predicted as. Whoever holds the job may use it.
type memo struct {
	networks []*network
	readings map[memoKey]*foreseen
}

// memoKey is a reading's contacts in one network.
type memoKey struct {
	in       *network
	at       conduct.Reading
	fourWire bool
}

// foreseen is what a reading is predicted as, once that is computed.
type foreseen struct {
	done    chan struct{} // closed once it is
	reading locate.Reading
	err     error
}

func newMemo() *memo { return &memo{readings: map[memoKey]*foreseen{}} }

// predictedIn turns contacts into a reading of a network. Its components are
// those of the whole network, an open part's being nothing.
func (s *session) predictedIn(n *network, c contacts) (locate.Reading, error) {
	if s.memo == nil {
		return s.predictedAnew(n, c)
	}
	f, begin := s.foresee(n, c)
	begin()
	<-f.done
	return f.reading, f.err
}

// foresee looks a reading up; begin computes it where nobody does yet.
func (s *session) foresee(n *network, c contacts) (f *foreseen, begin func()) {
	key := memoKey{n, s.fourContacts(c), c.fourWire}
	if f := s.memo.readings[key]; f != nil {
		return f, func() {}
	}
	f = &foreseen{done: make(chan struct{})}
	s.memo.readings[key] = f
	return f, func() {
		f.reading, f.err = s.predictedAnew(n, c)
		close(f.done)
	}
}

// foresee computes, while the tips are on their way, what the reading that is
// asked for will be held against: most of the work that a reading makes.
func (j *Job) foresee() {
	j.mu.Lock()
	defer j.mu.Unlock()
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
		if n.bridge == j.work.bridge { // as the copper now is
			_, begin := j.session.foresee(n, at)
			go begin()
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
