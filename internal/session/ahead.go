package session

import (
	"context"
	"errors"
	"slices"
	"sync/atomic"

	"ohmward/internal/bench"
	"ohmward/internal/engine"
	"ohmward/internal/practice"
	"ohmward/internal/record"
)

// preparation is the work from two nets to the first advice: listing where they
// could touch, solving their copper, weighing. It goes on while a person still
// answers what metal the files do not show: begun with the answers that are
// likeliest, it is what the case needs unless one is another.
type preparation struct {
	of    *record.Case // that it is for
	board *LoadedBoard
	stop  context.CancelFunc
	asked atomic.Bool   // somebody waits for it
	done  chan struct{} // closed when the rest is there
	solution
	err error
}

// workAhead prepares the two nets that the case will most likely be about, unless
// that is under way; of anything else it lets go.
func (j *Session) workAhead(c *record.Case, nets [2]string) {
	d := j.board
	if d == nil || nets[0] == "" || c.Steps.Practice != nil {
		return
	}
	guess := d.likeliest(c, nets)
	if j.ahead != nil && j.ahead.serves(guess, d) {
		return
	}
	j.dropAhead()
	ctx, stop := context.WithCancel(j.ctx)
	r := &preparation{of: guess, board: d, stop: stop, done: make(chan struct{})}
	j.ahead = r
	go j.background(func() {
		defer close(r.done)
		r.err = errUnprepared
		r.solution, r.err = j.prepare(ctx, guess, d, func(stage string) {
			if r.asked.Load() {
				j.stage(stage)
			}
		})
	})
}

// errUnprepared stands where a preparation ended without an end.
var errUnprepared = errors.New("the preparation was broken off")

// likeliest is the case with two nets and every question about metal answered as
// a body that shows itself by its tabs most often is: yes.
func (d *LoadedBoard) likeliest(c *record.Case, nets [2]string) *record.Case {
	guess := clone(c)
	if guess.Nets = nets; c.Nets != nets {
		s := &engine.Pair{Board: d.Board}
		if s.ChooseNets(nets[:]) == nil {
			guess.Nets = s.Names
		}
	}
	for {
		m := d.metalToAsk(guess)
		if m == nil {
			return guess
		}
		guess.Steps.Asked = append(guess.Steps.Asked, m.Part)
		guess.Metal = append(guess.Metal, record.Metal{Part: m.Part, Net: m.Net})
	}
}

// serves tells whether what is prepared is what a case needs.
func (r *preparation) serves(c *record.Case, d *LoadedBoard) bool {
	return r.board == d && r.of.Nets == c.Nets && sameMetal(r.of.Metal, c.Metal) && sameEvidence(r.of, c) &&
		slices.Equal(r.of.Ties, c.Ties) && figuresKey(r.of) == figuresKey(c)
}

// dropAhead ends what was begun in vain.
func (j *Session) dropAhead() {
	if j.ahead != nil {
		j.ahead.stop()
		j.ahead = nil
	}
}

// preparedFor gives what the case needs: what is prepared already, or else all
// anew.
func (j *Session) preparedFor(c *record.Case, d *LoadedBoard) (solution, error) {
	j.mu.Lock()
	r := j.ahead
	if r != nil && !r.serves(c, d) {
		j.dropAhead()
		r = nil
	}
	j.ahead = nil // whoever has it uses it up
	j.mu.Unlock()
	if r != nil {
		defer r.stop()
		r.asked.Store(true)
		select {
		case <-r.done:
		case <-j.ctx.Done():
		}
		if err := j.ctx.Err(); err != nil {
			return solution{}, err
		}
		if !errors.Is(r.err, errUnprepared) && !errors.Is(r.err, context.Canceled) {
			return r.solution, r.err
		}
	}
	return j.prepare(j.ctx, c, d, j.stage)
}

// prepare lists, solves and weighs without holding the session up.
func (j *Session) prepare(ctx context.Context, c *record.Case, d *LoadedBoard,
	progress func(string)) (s solution, err error) {
	own := *d.Board
	own.Progress = progress
	beside := j.unitBeside(ctx, c, &s.sim)
	w, err := own.LocatorBeside(ctx, c, beside)
	if err != nil {
		return s, err
	}
	progress("weighing the suspects")
	s.pair = w.Pair
	s.pair.Progress = func(string) {}
	s.pair.Predictions = engine.NewPredictions()
	w, a, post, err := solveCase(ctx, s.pair, c)
	if err != nil {
		return s, ctx.Err() // its own comes again where the case is weighed
	}
	s.work, s.answer, s.post, s.canReach = w, a, post, bench.CanDo(w.Pair, w.Meter, w.CopperKnown)
	return s, nil
}

// unitBeside makes the invented unit of a case while its copper is solved; nil
// where the unit is real.
func (j *Session) unitBeside(ctx context.Context, c *record.Case,
	into **simulated) func(*engine.Pair) func() error {
	if c.Steps.Practice == nil {
		return nil
	}
	seed := uint64(*c.Steps.Practice)
	_, rng := bench.PracticeOf(seed, "")
	return func(s *engine.Pair) func() error {
		from := s.PracticeBench("")
		return func() error {
			unit, err := practice.NewUnit(ctx, from, rng)
			if err == nil {
				*into = newSimulated(s, unit, seed, j.folder.pace, rng)
			}
			return err
		}
	}
}
