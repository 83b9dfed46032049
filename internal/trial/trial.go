package trial

import (
	"cmp"
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"

	"ohmward/internal/answer"
	"ohmward/internal/engine"
	"ohmward/internal/locate"
	"ohmward/internal/parallel"
	"ohmward/internal/practice"
	"ohmward/internal/record"
	"ohmward/internal/suspect"
)

// Outcome is what became of all invented shorts.
type Outcome struct {
	*engine.Pair
	Answer *answer.Trial // the sums alone
	Meter  locate.Meter  // that took the readings
	Copper locate.Copper // how well the program takes the copper to be known
	Runs   []Search      // one for each fault
}

// Run hides shorts on a board and lets the program find each.
func Run(ctx context.Context, p *engine.Board, o Options) (*Outcome, error) {
	if err := o.Check(); err != nil {
		return nil, err
	}
	t, err := newTrial(ctx, p, o)
	if err != nil {
		return nil, answer.AsError(err)
	}
	t.Progress("finding the faults")
	runs, err := t.runAll(ctx)
	if err != nil {
		return nil, answer.AsError(err)
	}
	return &Outcome{Pair: t.Pair, Answer: t.summary(runs), Meter: t.meter, Copper: t.knowledge, Runs: runs}, nil
}

const (
	defaultFaults = 200
	mostFaults    = 5000
	mostAmps      = 5
)

// trial is what all faults of a trial share.
type trial struct {
	*engine.Pair
	options   Options
	fourWire  bool
	meter     locate.Meter
	knowledge locate.Copper
	costs     locate.MoveCosts
	halves    *halves
	batch     *practice.Batch
	pairs     [][2]int // the lowest-reading method's places, in their order
	prior     *locate.Posterior
	first     []locate.Move // what is advised before any reading; one or none
}

func newTrial(ctx context.Context, p *engine.Board, o Options) (*trial, error) {
	profile, err := locate.Profile(o.Meter)
	if err != nil {
		return nil, &answer.Error{Kind: answer.Misuse, What: err.Error()}
	}
	s, err := p.NewPair(ctx, engine.PairOptions{Nets: o.Nets, Foreign: true, Rates: suspect.DefaultRates(),
		Layers: true})
	if err != nil {
		return nil, err
	}
	t := &trial{Pair: s, options: o, fourWire: o.Kind == "four-wire", meter: profile,
		costs: locate.DefaultMoveCosts()}
	for g, probes := range s.Probes {
		if len(probes) == 0 {
			return nil, &answer.Error{Kind: answer.Bad,
				What: fmt.Sprintf("%s has no place that a tip can reach", s.Names[g]),
				Hint: "try two nets that reach a pad, an open via or a connector"}
		}
	}
	t.knowledge = s.CopperUncertainty(record.Copper{})
	t.costs.FourWire = t.fourWire
	if t.fourWire {
		t.meter = injected(profile, cmp.Or(o.Amps, engine.InjectedAmps))
	}
	if err := t.hide(ctx); err != nil {
		return nil, err
	}
	if t.halves, err = newHalves(s); err != nil {
		return nil, err
	}
	t.pairs = t.lowestPairs()
	if t.prior, err = t.posterior(nil); err != nil {
		return nil, err
	}
	t.first, err = t.moves(t.prior, t.costs)
	return t, err
}

// injected is the meter reading volts of an injected current, on less off: a
// hand-held in the steps of its millivolts, any other to 2 µV.
func injected(m locate.Meter, amps float64) locate.Meter {
	if m.VoltStep > 0 {
		return m.Injected(amps)
	}
	m.NoiseFourWireOhms = engine.DifferencedVolts / amps
	m.Spec.FourWireStepOhms, m.Spec.ResolutionOhms = 0, 0
	return m
}

// Check sets the defaults and tells what was asked wrongly.
func (o *Options) Check() error {
	if o.Faults == 0 {
		o.Faults = defaultFaults
	}
	if o.Meter == "" {
		o.Meter = engine.DefaultMeter
	}
	if o.Kind == "" {
		o.Kind = "two-wire"
	}
	switch {
	case o.Faults < 1 || o.Faults > mostFaults:
		return &answer.Error{Kind: answer.Misuse, What: fmt.Sprintf("--faults %d: 1 to %d", o.Faults, mostFaults)}
	case !(o.Amps >= 0 && o.Amps <= mostAmps):
		return &answer.Error{Kind: answer.Misuse,
			What: fmt.Sprintf("--amps %g: above 0, to %d A", o.Amps, mostAmps)}
	case o.Kind != "two-wire" && o.Kind != "four-wire":
		return &answer.Error{Kind: answer.Misuse, What: fmt.Sprintf("--kind %s: two-wire or four-wire", o.Kind)}
	case o.OffModel != "" && !slices.Contains(answer.OffModels, o.OffModel):
		return &answer.Error{Kind: answer.Misuse, What: fmt.Sprintf("--off-model %s: one of %s", o.OffModel,
			strings.Join(answer.OffModels, ", "))}
	}
	return nil
}

// hide draws the faults and solves them on a mesh of their own.
func (t *trial) hide(ctx context.Context) error {
	t.Progress("hiding the faults")
	rng := rand.New(rand.NewPCG(t.options.Seed, 0x747269616c))
	var err error
	t.batch, err = practice.NewBatch(ctx, t.PracticeBench(""), t.draw(), t.options.Faults, rng)
	return err
}

// runAll finds every fault, as many at a time as there are cores. Each fault
// has its own random numbers, so the order does not matter.
func (t *trial) runAll(ctx context.Context) ([]Search, error) {
	runs := make([]Search, t.options.Faults)
	err := parallel.Try(ctx, len(runs), func(i int) (err error) {
		runs[i], err = t.run(i)
		return err
	})
	return runs, err
}

// posterior weighs the suspects as the program does for a case.
func (t *trial) posterior(readings []locate.Reading) (*locate.Posterior, error) {
	return locate.Solve(locate.Case{
		Sites: t.Sites, Index: t.Index, Unlisted: t.Foreign, Elsewhere: t.Elsewhere, Readings: readings,
		Meter: t.meter, Copper: t.knowledge, Loop: t.Solver.Loop,
	})
}

// moves gives the reading of the trial's kind that is best to take, if any.
func (t *trial) moves(post *locate.Posterior, h locate.MoveCosts) ([]locate.Move, error) {
	m, ok, err := post.First(t.Tables[0], t.Tables[1], h, t.fourWire)
	if !ok {
		return nil, err
	}
	return []locate.Move{m}, err
}
