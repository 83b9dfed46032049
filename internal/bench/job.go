package bench

import (
	"context"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"ohmward/internal/locate"
	"ohmward/internal/practice"
	"ohmward/internal/record"
)

// Job is a case being worked on: one board, from its fabrication files to a
// short proved gone. Whoever watches it sees the same; what is confirmed is in
// the case file before anyone is told. It may be used by several goroutines.
type Job struct {
	id    string
	shelf *Shelf
	stop  context.CancelFunc
	ctx   context.Context

	mu   sync.Mutex
	c    *record.Case
	desk *Desk
	solved
	asOf    time.Time // when the case last changed
	picked  []string  // nets tapped so far
	aim     *Choice   // places chosen over the advice; nil: the advice
	retouch int       // number from 1 of the reading that is being touched again
	move    int       // which of the moves is shown
	busy    string    // the stage of work under way
	trouble *Trouble  // of the last loading
	mend    *MendView // what can be said of a board that failed to read
	shown   *View     // as last shown, until all is ready
	live    live
	later   *time.Timer // until the next reading is foreseen

	watch    sync.Mutex
	watchers map[chan struct{}]bool
	shownMu  sync.Mutex // one keeping of what is shown at a time
	viewed   atomic.Int64
	trying   sync.Mutex // one trial at a time
}

// solved is what hangs on the two nets and the bodies marked.
type solved struct {
	session  *session
	work     *work
	post     *locate.Posterior
	answer   *LocateAnswer
	canReach *Reach
	sim      *simulated
}

// Trouble is something that went wrong, as the page shows it in place.
type Trouble struct {
	Code string `json:"code"` // stable: "bad", "misuse", "doubtful", "meter", "conflict", "busy"
	What string `json:"what"`
	Hint string `json:"hint,omitempty"`
}

// codes name an error's kind for other programs.
var codes = [...]string{Bad: "bad", Misuse: "misuse", Doubtful: "doubtful", Meter: "meter", Conflict: "conflict", Busy: "busy"}

// TroubleOf puts an error into what the page shows.
func TroubleOf(err error) *Trouble {
	var e *Error
	if !errors.As(bad(err), &e) {
		return &Trouble{Code: codes[Bad], What: err.Error()}
	}
	return &Trouble{Code: codes[e.Kind], What: e.What, Hint: e.Hint}
}

// Open gives the case of that id, opening it where it is not yet.
func (s *Shelf) Open(id string) (*Job, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if j := s.jobs[id]; j != nil {
		return j, nil
	}
	c, err := s.read(id)
	if err != nil {
		return nil, bad(err)
	}
	if c.Steps == nil {
		c.Steps = &record.Steps{}
	}
	ctx, stop := context.WithCancel(context.Background())
	j := &Job{id: id, shelf: s, ctx: ctx, stop: stop, c: c, busy: "opening the case", watchers: map[chan struct{}]bool{}, asOf: s.now(), shown: s.lastShown(id, c)}
	s.jobs[id] = j
	go j.load()
	return j, nil
}

// desk gives a board, kept from an earlier case where it can be.
func (s *Shelf) desk(ctx context.Context, c *record.Case, progress func(string)) (*Desk, error) {
	o := s.options.under(c)
	o.Progress = progress
	s.mu.Lock()
	kept := s.desks[readAs(c)]
	s.mu.Unlock()
	if kept != nil {
		return kept, nil
	}
	d, err := OpenDesk(ctx, c.BoardPath(), o)
	if err != nil {
		return nil, err
	}
	s.keepDesk(readAs(c), d)
	return d, nil
}

// keepDesk keeps a board for other cases; the one kept longest goes.
func (s *Shelf) keepDesk(name string, d *Desk) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.desks[name] == nil {
		s.kept = append(s.kept, name)
	}
	s.desks[name] = d
	if len(s.kept) > mostDesks {
		delete(s.desks, s.kept[0])
		s.kept = s.kept[1:]
	}
}

// close ends the job's work and waits for what is being written.
func (j *Job) close() {
	j.stop()
	for _, writes := range []*sync.Mutex{&j.mu, &j.shownMu} {
		writes.Lock() // whoever held it is done
		writes.Unlock()
	}
}

// load reads the board and, once the nets are chosen, solves their copper.
func (j *Job) load() {
	j.mu.Lock()
	c, d := j.c, j.desk
	j.mu.Unlock()
	err := error(nil)
	if d == nil {
		d, err = j.shelf.desk(j.ctx, c, j.stage)
	}
	if err == nil {
		j.mu.Lock()
		j.desk = d
		j.mu.Unlock()
		j.changed()
		if ready(c, d) {
			err = j.solve(c, d)
		}
	}
	j.mu.Lock()
	j.busy, j.trouble, j.mend, j.shown = "", nil, nil, nil
	if err != nil {
		j.trouble = TroubleOf(err)
		if j.desk == nil {
			j.mend = mendFor(c, err)
		}
	}
	j.listen()
	j.mu.Unlock()
	j.changed()
	j.foresee()
	j.keepShown()
}

// ready tells whether all is known that the copper is solved for.
func ready(c *record.Case, d *Desk) bool { return c.Nets[0] != "" && d.metalToAsk(c) == nil }

// solve prepares the two nets' copper and weighs what was read so far.
func (j *Job) solve(c *record.Case, d *Desk) error {
	own := *d.opened
	own.progress = j.stage
	var unit *practice.Unit
	var sim *simulated
	var beside func(*session) func() error
	if c.Steps.Practice != nil {
		seed := uint64(*c.Steps.Practice)
		_, rng := practiceOf(seed, "")
		beside = func(s *session) func() error {
			from := s.practiceBench("")
			return func() (err error) {
				if unit, err = practice.NewUnit(j.ctx, from, rng); err == nil {
					sim = newSimulated(s, unit, seed, j.shelf.pace, rng)
				}
				return err
			}
		}
	}
	w, err := own.atWorkBeside(j.ctx, c, beside)
	if err != nil {
		return err
	}
	w.progress("weighing the suspects")
	w.session.progress = func(string) {}
	w.session.memo = newMemo()
	// Once without holding the job up: what is not kept is solved here. Its
	// errors come again below.
	_, _, _, _ = weighOn(j.ctx, w.session, c)
	j.mu.Lock()
	defer j.mu.Unlock()
	j.session, j.sim = w.session, sim
	return j.settle(c)
}

// settle weighs a case and makes it the job's; on an error nothing changes.
func (j *Job) settle(c *record.Case) error {
	if j.session != nil && (j.answer == nil || !sameEvidence(c, j.c)) {
		w, a, post, err := weighOn(j.ctx, j.session, c)
		if err != nil {
			return err
		}
		j.work, j.answer, j.post = w, a, post
		if j.canReach == nil || !reflect.DeepEqual(c.Meter, j.c.Meter) {
			j.canReach = w.canDo(w.meter, w.knowledge)
		}
	}
	if j.sim != nil {
		if err := j.sim.stands(c); err != nil {
			return err
		}
	}
	j.c, j.asOf = c, j.shelf.now()
	return nil
}

// sameEvidence tells whether nothing that bears on the place differs.
func sameEvidence(a, b *record.Case) bool {
	return reflect.DeepEqual(a.Readings, b.Readings) && reflect.DeepEqual(a.Findings, b.Findings) &&
		reflect.DeepEqual(a.Nulls, b.Nulls) && reflect.DeepEqual(a.Meter, b.Meter)
}

// weighOn says where the short of a case is, on the copper of its nets.
func weighOn(ctx context.Context, on *session, c *record.Case) (*work, *LocateAnswer, *locate.Posterior, error) {
	meter, err := meterOf(c.Meter)
	if err != nil {
		return nil, nil, nil, err
	}
	s := *on // what is opened in a case stays with it
	w := &work{session: &s, hands: locate.DefaultHands(), ctx: ctx, meter: meter}
	w.knowledge = w.copperKnown(c.Copper)
	for i, r := range c.Readings {
		at, err := w.contactsOf(r)
		if err == nil {
			err = w.onNets(at)
		}
		if err != nil {
			return nil, nil, nil, bad(fmt.Errorf("reading %d: %w", i+1, err))
		}
	}
	if err := w.takeAll(c); err != nil {
		return nil, nil, nil, err
	}
	a, post, err := w.answer()
	if err != nil {
		return nil, nil, nil, bad(err)
	}
	a.Each, a.Fit.Changed, a.Fit.Neighbour = w.each(post), w.moved(post), w.neighbour(post)
	w.memo.last, w.memo.given = post, post.Case
	w.memo.given.Readings = w.all()
	a.Tests = w.splits(post) // looking is among the moves, and nothing here warms
	a.Doubts = w.doubts
	return w, a, post, nil
}

// commit weighs a changed case, writes it, and only then makes it the job's.
func (j *Job) commit(next *record.Case) error {
	next.Steps.Revision++
	was, wasCase := j.solved, j.c
	if err := j.settle(next); err != nil {
		return err
	}
	if err := record.Write(next.File, next); err != nil {
		j.solved, j.c = was, wasCase
		return &Error{Kind: Bad, What: "this could not be written down, so it does not count yet: " + plainCause(err).Error(),
			Hint: "make room on the disk or mend the folder, then do it again; nothing that was confirmed before is lost", Cause: err}
	}
	return nil
}

// clone copies a case, so that the old one stays as it is.
func clone(c *record.Case) *record.Case {
	next := *c
	next.Ties = slices.Clone(c.Ties)
	next.Metal, next.Readings = slices.Clone(c.Metal), slices.Clone(c.Readings)
	next.Findings, next.Nulls = slices.Clone(c.Findings), slices.Clone(c.Nulls)
	steps := *c.Steps
	steps.Retouched = 0 // what a new act does is another thing
	steps.Settled, steps.Roles = slices.Clone(steps.Settled), slices.Clone(steps.Roles)
	steps.Asked, steps.Swap, steps.Checks = slices.Clone(steps.Asked), slices.Clone(steps.Swap), slices.Clone(steps.Checks)
	next.Steps = &steps
	return &next
}

// stage notes what work is under way.
func (j *Job) stage(name string) {
	j.mu.Lock()
	j.busy = name
	j.mu.Unlock()
	j.changed()
}

// Watch gives a channel that is told of every change; end stops it.
func (j *Job) Watch() (told <-chan struct{}, end func()) {
	c := make(chan struct{}, 1)
	c <- struct{}{}
	j.watch.Lock()
	j.watchers[c] = true
	j.watch.Unlock()
	return c, func() {
		j.watch.Lock()
		delete(j.watchers, c)
		j.watch.Unlock()
	}
}

// changed tells all watchers that the view changed.
func (j *Job) changed() {
	j.viewed.Add(1)
	j.tell()
}

// Changes counts the changes of the view.
func (j *Job) Changes() int64 { return j.viewed.Load() }

// tell wakes all watchers; one that has not looked yet is told once.
func (j *Job) tell() {
	j.watch.Lock()
	defer j.watch.Unlock()
	for c := range j.watchers {
		select {
		case c <- struct{}{}:
		default:
		}
	}
}

// Desk is the job's board; nil while it is being read.
func (j *Job) Desk() *Desk {
	j.mu.Lock()
	defer j.mu.Unlock()
	return j.desk
}
