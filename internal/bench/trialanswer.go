package bench

import (
	"context"
	"fmt"
	"math"

	"ohmward/internal/picture"
)

// Trial hides shorts on a board and lets the program find each: how well it
// would do here with this meter.
func Trial(ctx context.Context, path string, o TrialOptions) (*TrialAnswer, error) {
	if err := o.check(); err != nil {
		return nil, err
	}
	p, err := open(ctx, path, o.Options)
	if err != nil {
		return nil, err
	}
	return p.trial(ctx, o)
}

// trial does so on a board that is open.
func (p *opened) trial(ctx context.Context, o TrialOptions) (*TrialAnswer, error) {
	done, err := RunTrial(ctx, p, o)
	if err != nil {
		return nil, err
	}
	a := done.Answer
	if o.Each {
		for i := range done.Runs {
			a.Each = append(a.Each, p.trialFault(i, &done.Runs[i]))
		}
	}
	a.Reach = done.canDo(done.Meter, done.Copper)
	a.Doubts = done.doubts()
	if o.Picture != "" {
		if err := drawShares(a, o.Picture); err != nil {
			return nil, bad(err)
		}
		a.Picture = o.Picture
	}
	return a, p.trusted()
}

// trialFault is a fault as --each lists it.
func (p *opened) trialFault(i int, r *trialRun) TrialFault {
	f := TrialFault{
		N: i, Truth: p.truthAnswer(r.fault.Site, r.fault.Ohms), Best: p.bestAnswer(r.best), ErrorMM: r.off, InsideRadius: r.inside,
		Rank: r.rank, Readings: r.readings, Verdict: r.verdict, LowestMM: r.lowest,
	}
	if !math.IsNaN(r.bound) {
		f.BoundMM = &r.bound
	}
	return f
}

// drawShares draws how often a trial's answers were right.
func drawShares(a *TrialAnswer, path string) error {
	k := &picture.Calibration{
		Title: fmt.Sprintf("%d shorts between %s and %s", a.Faults, a.Nets[0], a.Nets[1]),
		Under: fmt.Sprintf("%s, %s, seed %d, %d suspect samples", a.Meter, a.Kind, a.Seed, a.Suspects),
	}
	for _, s := range a.Shares {
		k.Points = append(k.Points, picture.Share{Claimed: s.Claimed, Right: s.Right, Low: s.Low, High: s.High, Answers: s.Answers})
	}
	return picture.SaveCalibration(path, k)
}
