package session

import (
	"context"
	"errors"
	"fmt"
	"reflect"
	"runtime/debug"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"ohmward/internal/answer"
	"ohmward/internal/bench"
	"ohmward/internal/board"
	"ohmward/internal/copper"
	"ohmward/internal/engine"
	"ohmward/internal/locate"
	"ohmward/internal/record"
)

// Session is a case being worked on: one board, from its fabrication files to a
// short proved gone. Whoever watches it sees the same; what is confirmed is in
// the case file before anyone is notified. It may be used by several goroutines.
type Session struct {
	id     string
	folder *CaseFolder
	stop   context.CancelFunc
	ctx    context.Context

	mu    sync.Mutex
	store *record.Store
	c     *record.Case
	board *LoadedBoard
	solution
	asOf        time.Time           // when the case last changed
	picked      []string            // nets tapped so far
	aim         *answer.Choice      // places chosen over the advice; nil: the advice
	cannot      string              // the end of the reading at hand said to be out of reach: see ends
	instead     []answer.Next       // readings that leave it out
	retouch     int                 // number from 1 of the reading that is being touched again
	move        int                 // which of the moves is shown
	ask         *answer.Card        // what is asked back of the last act, before it counts; nil: nothing
	busy        string              // the stage of work under way
	trouble     *answer.Trouble     // of the last loading
	failure     *answer.ReadFailure // what can be done about a board that failed to read
	early       *earlyDrawing       // of the board that is being read; nil: none
	snapshot    *answer.View        // as last shown, until all is ready
	live        live
	counting    bool                // the time to cool is counted down
	heardValue  string              // the value taken by the last act, to be said; "": none
	wire        *wire               // the meter on a wire; nil: none is read
	unwired     <-chan struct{}     // closed once the one before was put back; nil: there was none
	found       []answer.MeterFound // instruments that may be there, to be offered
	prefetching *time.Timer         // until the next reading is prefetched
	ahead       *preparation        // of nets that are likely to be the case's; nil: none
	holder      string              // the bench that works on the case; "": this one
	renewed     time.Time           // when the lease was taken or renewed
	conflict    *record.Foreign     // what another hand made of the case; nil: nothing

	watch      sync.Mutex
	watchers   map[chan struct{}]bool
	snapshotMu sync.Mutex // one keeping of what is shown at a time
	viewed     atomic.Int64
	used       atomic.Int64 // when somebody last asked for the case, in ns since 1970
	trying     sync.Mutex   // one trial at a time
}

// solution is what hangs on the two nets and the bodies marked.
type solution struct {
	pair     *engine.Pair
	work     *engine.Locator
	post     *locate.Posterior
	answer   *answer.Location
	canReach *answer.Reach
	sim      *simulated
}

// Open gives the case of that id, opening it where it is not yet.
func (s *CaseFolder) Open(id string) (*Session, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if j := s.sessions[id]; j != nil {
		j.use()
		return j, nil
	}
	if _, err := s.read(id); err != nil {
		return nil, answer.AsError(err)
	}
	store, c, err := record.OpenStore(s.caseName(id), s.writer)
	if err != nil {
		return nil, answer.AsError(err)
	}
	if c.Steps == nil {
		c.Steps = &record.Steps{}
	}
	ctx, stop := context.WithCancel(context.Background())
	j := &Session{id: id, folder: s, ctx: ctx, stop: stop, store: store, c: c, busy: "opening the case",
		watchers: map[chan struct{}]bool{}, asOf: s.now(), snapshot: s.lastSnapshot(id, c)}
	s.sessions[id] = j
	j.use()
	go j.background(j.load)
	go j.background(j.findMeters)
	go j.attend()
	return j, nil
}

// board gives a board, cached from an earlier case where it can be.
func (s *CaseFolder) board(ctx context.Context, c *record.Case, progress func(string),
	early func(*board.Board)) (*LoadedBoard, error) {
	o := s.options.WithCaseDefaults(c)
	o.Progress = progress
	if told := o.Early; told != nil {
		o.Early = func(b *board.Board) { early(b); told(b) }
	} else {
		o.Early = early
	}
	s.mu.Lock()
	cached := s.boards[boardKey(c)]
	s.mu.Unlock()
	if cached != nil {
		return cached, nil
	}
	d, err := LoadBoard(ctx, c.BoardPath(), o)
	if err != nil {
		return nil, err
	}
	s.cacheBoard(boardKey(c), d)
	return d, nil
}

// cacheBoard caches a board for other cases; the oldest goes.
func (s *CaseFolder) cacheBoard(name string, d *LoadedBoard) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.boards[name] == nil {
		s.boardOrder = append(s.boardOrder, name)
	}
	s.boards[name] = d
	if len(s.boardOrder) > mostBoards {
		delete(s.boards, s.boardOrder[0])
		s.boardOrder = s.boardOrder[1:]
	}
}

// background does work beside the page. A fault in the program ends that work, not
// the bench.
func (j *Session) background(work func()) {
	defer func() {
		fault := recover()
		if fault == nil {
			return
		}
		j.folder.errors(fmt.Sprintf("fault in the program: %v\n%s", fault, debug.Stack()))
		j.mu.Lock()
		j.busy, j.snapshot = "", nil
		j.trouble = &answer.Trouble{Code: "fault", What: fmt.Sprintf("A fault in the program: %.200v", fault),
			Hint: "What was confirmed is kept. Open the case again; if it comes back, report it with the board."}
		j.mu.Unlock()
		j.changed()
	}()
	work()
}

// close ends the session's work and waits for what is being written.
func (j *Session) close() {
	j.stop()
	j.awaitWire()
	defer func() { _ = j.store.Release() }() // else the lease runs out by itself
	for _, writes := range []*sync.Mutex{&j.mu, &j.snapshotMu} {
		writes.Lock()
		writes.Unlock() //lint:ignore SA2001 whoever held it is done
	}
}

// load reads the board and, once the nets are chosen, solves their copper.
func (j *Session) load() {
	j.mu.Lock()
	c, d := j.c, j.board
	j.mu.Unlock()
	var err error
	if d == nil {
		d, err = j.folder.board(j.ctx, c, j.stage, j.showEarly)
	}
	if err == nil {
		j.mu.Lock()
		j.board, j.early = d, nil
		j.mu.Unlock()
		j.changed()
		if ready(c, d) {
			err = j.solve(c, d)
		} else {
			_ = j.locked(func() error { j.workAhead(c, c.Nets); return nil })
		}
	}
	j.loaded(c, err)
	j.changed()
	j.prefetch()
	j.countDown()
	j.saveSnapshot()
}

// loaded notes that the work on a case's board is over, and how it ended.
func (j *Session) loaded(c *record.Case, err error) {
	j.mu.Lock()
	defer j.mu.Unlock()
	j.busy, j.trouble, j.failure, j.snapshot = "", nil, nil, nil
	if err != nil {
		j.trouble = answer.TroubleOf(err)
		if j.board == nil {
			j.failure = readFailure(c, err)
		}
	}
	j.syncStream()
}

// ready tells whether all is known that the copper is solved for.
func ready(c *record.Case, d *LoadedBoard) bool {
	return d != nil && c.Nets[0] != "" && d.metalToAsk(c) == nil
}

// solve prepares the two nets' copper and evaluates what was read so far.
func (j *Session) solve(c *record.Case, d *LoadedBoard) error {
	s, err := j.preparedFor(c, d)
	if err != nil {
		return err
	}
	j.mu.Lock()
	defer j.mu.Unlock()
	j.solution = s
	return j.solveReadings(c)
}

// solveReadings evaluates a case and makes it the session's; on an error nothing changes.
func (j *Session) solveReadings(c *record.Case) error {
	if j.pair != nil && (j.answer == nil || !sameEvidence(c, j.c)) {
		w, a, post, err := solveCase(j.ctx, j.pair, c)
		if err != nil {
			return err
		}
		j.work, j.answer, j.post = w, a, post
		if j.canReach == nil || !reflect.DeepEqual(c.Meter, j.c.Meter) {
			j.canReach = bench.CanDo(w.Pair, w.Meter, w.CopperKnown)
		}
	}
	if j.sim != nil {
		if err := j.sim.restore(c); err != nil {
			return err
		}
	}
	j.c, j.asOf = c, j.folder.now()
	return nil
}

// sameEvidence tells whether nothing that bears on the place differs.
func sameEvidence(a, b *record.Case) bool {
	return reflect.DeepEqual(a.Readings, b.Readings) && reflect.DeepEqual(a.Findings, b.Findings) &&
		reflect.DeepEqual(a.Nulls, b.Nulls) && reflect.DeepEqual(a.Meter, b.Meter)
}

// solveCase says where the short of a case is, on the copper of its nets.
func solveCase(ctx context.Context, on *engine.Pair,
	c *record.Case) (*engine.Locator, *answer.Location, *locate.Posterior, error) {
	w, err := on.Weigh(ctx, c)
	if err != nil {
		return nil, nil, nil, answer.AsError(err)
	}
	a, post, err := bench.Answer(w)
	if err != nil {
		return nil, nil, nil, answer.AsError(err)
	}
	a.Each, a.Fit.Changed, a.Fit.Neighbour = bench.Each(w, post), w.Moved(post), bench.Neighbour(w, post,
		func(spot copper.Spot) string { return shortName(w.Pair.Board, spot) })
	w.Predictions.Last, w.Predictions.Given = post, post.Case
	w.Predictions.Given.Readings = w.All()
	a.Tests = bench.Splits(w, post) // looking is among the moves, and nothing here warms
	a.Doubts = bench.DoubtsOf(w.Doubts)
	return w, a, post, nil
}

// commit evaluates a changed case, writes it, and only then makes it the session's.
func (j *Session) commit(next *record.Case, write func() error) error {
	was, wasCase := j.solution, j.c
	if err := j.solveReadings(next); err != nil {
		return err
	}
	if err := write(); err != nil {
		j.solution, j.c = was, wasCase
		return j.notWritten(err)
	}
	return nil
}

// notWritten says why a case was not written.
func (j *Session) notWritten(err error) error {
	var held *record.HeldError
	switch {
	case errors.As(err, &held):
		j.holder = held.Lease.Bench
		return &answer.Error{Kind: answer.Conflict, Cause: err,
			What: "another bench took this case over: " + j.holder, Hint: "this did not count; what it does is shown here"}
	case errors.Is(err, record.ErrChanged):
		return &answer.Error{Kind: answer.Conflict, What: "the case file was changed just now by another hand",
			Hint: "this did not count; look at where the case stands now, then do it again", Cause: err}
	case errors.Is(err, record.ErrUnreadable):
		return &answer.Error{Kind: answer.Misuse, What: "this cannot be recorded: " + unreadable(err), Cause: err,
			Hint: "nothing was changed; check the value"}
	}
	return &answer.Error{Kind: answer.Bad, Cause: err,
		What: "this could not be written down, so it does not count yet: " + plainCause(err).Error(),
		Hint: "make room on the disk or mend the folder, then do it again; " +
			"nothing that was confirmed before is lost"}
}

// unreadable says in words which value no case file may hold.
func unreadable(err error) string {
	var e *record.Error
	if errors.As(err, &e) {
		return e.What
	}
	return err.Error()
}

// clone copies a case, so that the old one stays as it is.
func clone(c *record.Case) *record.Case {
	next := *c
	next.Ties = slices.Clone(c.Ties)
	next.Metal, next.Readings = slices.Clone(c.Metal), slices.Clone(c.Readings)
	next.Touches = slices.Clone(c.Touches)
	next.Findings, next.Nulls = slices.Clone(c.Findings), slices.Clone(c.Nulls)
	steps := *c.Steps
	steps.Settled, steps.Roles = slices.Clone(steps.Settled), slices.Clone(steps.Roles)
	steps.LeftOff = slices.Clone(steps.LeftOff)
	steps.Asked, steps.Swap, steps.Checks = slices.Clone(steps.Asked), slices.Clone(steps.Swap),
		slices.Clone(steps.Checks)
	next.Steps = &steps
	return &next
}

// stage notes what work is under way.
func (j *Session) stage(name string) {
	j.mu.Lock()
	j.busy = stageWords(name)
	j.mu.Unlock()
	j.changed()
}

// Watch gives a channel that is notified of every change; end stops it.
func (j *Session) Watch() (changes <-chan struct{}, end func()) {
	c := make(chan struct{}, 1)
	c <- struct{}{}
	j.watch.Lock()
	j.watchers[c] = true
	j.watch.Unlock()
	return c, func() {
		j.use()
		j.watch.Lock()
		delete(j.watchers, c)
		j.watch.Unlock()
	}
}

// changed tells all watchers that the view changed.
func (j *Session) changed() {
	j.viewed.Add(1)
	j.notify()
}

// Changes counts the changes of the view.
func (j *Session) Changes() int64 { return j.viewed.Load() }

// notify wakes all watchers; one that has not looked yet is notified once.
func (j *Session) notify() {
	j.watch.Lock()
	defer j.watch.Unlock()
	for c := range j.watchers {
		select {
		case c <- struct{}{}:
		default:
		}
	}
}

// Board is the session's board; nil while it is being read.
func (j *Session) Board() *LoadedBoard {
	j.mu.Lock()
	defer j.mu.Unlock()
	return j.board
}
