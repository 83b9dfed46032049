package bench

import (
	"context"
	"fmt"
	"math"

	"ohmward/internal/answer"
	"ohmward/internal/engine"
	"ohmward/internal/picture"
	"ohmward/internal/trial"
)

// Trial hides shorts on a board and lets the program find each: how well it
// would do here with this meter.
func Trial(ctx context.Context, path string, o trial.Options) (*answer.Trial, error) {
	if err := o.Check(); err != nil {
		return nil, err
	}
	p, err := open(ctx, path, o.Options)
	if err != nil {
		return nil, err
	}
	return TrialOn(ctx, p, o)
}

// TrialOn does so on a board that is open.
func TrialOn(ctx context.Context, p *engine.Board, o trial.Options) (*answer.Trial, error) {
	done, err := trial.Run(ctx, p, o)
	if err != nil {
		return nil, err
	}
	a := done.Answer
	if o.Each {
		for i := range done.Runs {
			a.Each = append(a.Each, trialFault(p, i, &done.Runs[i]))
		}
	}
	a.Reach = CanDo(done.Pair, done.Meter, done.Copper)
	a.Doubts = Doubts(done.Pair.Board)
	if o.Picture != "" {
		if err := drawShares(a, o.Picture); err != nil {
			return a, unsaved("the picture", err)
		}
		a.Picture = o.Picture
	}
	return a, trusted(p)
}

// trialFault is a fault as --each lists it.
func trialFault(p *engine.Board, i int, r *trial.Search) answer.TrialFault {
	f := answer.TrialFault{
		N: i, Truth: truthAnswer(p, r.Fault.Site, r.Fault.Ohms), Best: bestAnswer(p, r.Best), ErrorMM: r.Off,
		InsideRadius: r.Inside,
		Rank:         r.Rank, Readings: r.Readings, Verdict: r.Verdict, LowestMM: r.Lowest,
	}
	if !math.IsNaN(r.Bound) {
		f.BoundMM = &r.Bound
	}
	return f
}

// drawShares draws how often a trial's answers were right.
func drawShares(a *answer.Trial, path string) error {
	k := &picture.Calibration{
		Title: fmt.Sprintf("%d shorts between %s and %s", a.Faults, a.Nets[0], a.Nets[1]),
		Under: fmt.Sprintf("%s, %s, seed %d, %d suspect samples", a.Meter, a.Kind, a.Seed, a.Suspects),
	}
	for _, s := range a.Shares {
		k.Points = append(k.Points, picture.Share{Claimed: s.Claimed, Right: s.Right, Low: s.Low, High: s.High,
			Answers: s.Answers})
	}
	return picture.SaveCalibration(path, k)
}
