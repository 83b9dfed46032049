package bench

import (
	"context"
	"fmt"
	"math/rand/v2"
	"runtime"
	"slices"
	"strings"
	"sync"

	"ohmward/internal/locate"
	"ohmward/internal/practice"
	"ohmward/internal/record"
	"ohmward/internal/suspect"
)

// Outcome is what became of all invented shorts.
type Outcome struct {
	*session
	Answer *TrialAnswer // the sums alone
	Meter  locate.Meter
	Copper locate.Copper // how well the program takes the copper to be known
	Runs   []trialRun
}

// RunTrial hides shorts on a board and lets the program find each.
func RunTrial(ctx context.Context, p *opened, o TrialOptions) (*Outcome, error) {
	if err := o.check(); err != nil {
		return nil, err
	}
	t, err := p.newTrial(ctx, o)
	if err != nil {
		return nil, err
	}
	t.progress("finding the faults")
	runs, err := t.runAll(ctx)
	if err != nil {
		return nil, bad(err)
	}
	return &Outcome{session: t.session, Answer: t.summary(runs), Meter: t.meter, Copper: t.knowledge, Runs: runs}, nil
}

const (
	defaultFaults = 200
	mostFaults    = 5000
)

// trial is what all faults of a trial share.
type trial struct {
	*session
	options   TrialOptions
	fourWire  bool
	meter     locate.Meter
	knowledge locate.Copper
	hands     locate.Hands
	halves    *halves
	crowd     *practice.Crowd
	pairs     [][2]int // the lowest-reading method's places, in their order
	prior     *locate.Posterior
	first     []locate.Move // what is advised before any reading; one or none
}

func (p *opened) newTrial(ctx context.Context, o TrialOptions) (*trial, error) {
	profile, err := locate.Profile(o.Meter)
	if err != nil {
		return nil, &Error{Kind: Misuse, What: err.Error()}
	}
	s, err := p.newSession(ctx, question{nets: o.Nets, foreign: true, rates: suspect.DefaultRates(), layers: true})
	if err != nil {
		return nil, err
	}
	t := &trial{session: s, options: o, fourWire: o.Kind == "four-wire", meter: profile, hands: locate.DefaultHands(), halves: newHalves(s)}
	for g, probes := range s.probes {
		if len(probes) == 0 {
			return nil, &Error{Kind: Bad, What: fmt.Sprintf("%s has no place that a tip can reach", s.names[g]), Hint: "try two nets that reach a pad, an open via or a connector"}
		}
	}
	t.knowledge = s.copperKnown(record.Copper{})
	t.hands.FourWire = t.fourWire
	if t.fourWire {
		t.meter.NoiseFourWireOhms = differencedVolts / injectedAmps
	}
	if err := t.hide(ctx); err != nil {
		return nil, err
	}
	t.pairs = t.lowestPairs()
	if t.prior, err = t.posterior(nil); err != nil {
		return nil, bad(err)
	}
	if t.first, err = t.moves(t.prior, t.hands); err != nil {
		return nil, bad(err)
	}
	return t, nil
}

// check sets the defaults and tells what was asked wrongly.
func (o *TrialOptions) check() error {
	if o.Faults == 0 {
		o.Faults = defaultFaults
	}
	if o.Meter == "" {
		o.Meter = defaultMeter
	}
	if o.Kind == "" {
		o.Kind = "two-wire"
	}
	switch {
	case o.Faults < 1 || o.Faults > mostFaults:
		return &Error{Kind: Misuse, What: fmt.Sprintf("--faults %d: 1 to %d", o.Faults, mostFaults)}
	case o.Kind != "two-wire" && o.Kind != "four-wire":
		return &Error{Kind: Misuse, What: fmt.Sprintf("--kind %s: two-wire or four-wire", o.Kind)}
	case o.OffModel != "" && !slices.Contains(OffModels, o.OffModel):
		return &Error{Kind: Misuse, What: fmt.Sprintf("--off-model %s: one of %s", o.OffModel, strings.Join(OffModels, ", "))}
	}
	return nil
}

// hide draws the faults and solves them on a mesh of their own.
func (t *trial) hide(ctx context.Context) error {
	t.progress("hiding the faults")
	rng := rand.New(rand.NewPCG(t.options.Seed, 0x747269616c))
	var err error
	t.crowd, err = practice.NewCrowd(ctx, t.practiceBench(""), t.draw(), t.options.Faults, rng)
	return bad1(err)
}

func bad1(err error) error {
	if err == nil {
		return nil
	}
	return bad(err)
}

// runAll finds every fault, as many at a time as there are cores. Each fault
// has its own random numbers, so the order does not matter.
func (t *trial) runAll(ctx context.Context) ([]trialRun, error) {
	runs := make([]trialRun, t.options.Faults)
	errs := make([]error, len(runs))
	work := make(chan int)
	var group sync.WaitGroup
	for range min(len(runs), runtime.GOMAXPROCS(0)) {
		group.Go(func() {
			for i := range work {
				runs[i], errs[i] = t.run(i)
			}
		})
	}
	for i := range runs {
		if ctx.Err() != nil {
			break
		}
		work <- i
	}
	close(work)
	group.Wait()
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	return runs, firstError(errs...)
}

// posterior weighs the suspects as the program does for a case.
func (t *trial) posterior(readings []locate.Reading) (*locate.Posterior, error) {
	return locate.Solve(locate.Case{
		Sites: t.sites, Lay: t.lay, Foreign: t.foreign, Elsewhere: t.elsewhere, Readings: readings,
		Meter: t.meter, Copper: t.knowledge, Loop: t.solver.loop,
	})
}

// moves gives the reading of the trial's kind that is best to take, if any.
func (t *trial) moves(post *locate.Posterior, h locate.Hands) ([]locate.Move, error) {
	m, ok, err := post.First(t.tables[0], t.tables[1], h, t.fourWire)
	if !ok {
		return nil, err
	}
	return []locate.Move{m}, err
}
