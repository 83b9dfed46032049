package engine

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"ohmward/internal/board"
	"ohmward/internal/locate"
	"ohmward/internal/record"
	"ohmward/internal/suspect"
)

// WithCaseDefaults puts a case's copper figures under the options given by flags.
func (o Options) WithCaseDefaults(whole *record.Case) Options {
	c := whole.Copper
	if o.Copper == nil && c.Thickness != nil {
		o.CopperEach = c.Thickness
	}
	o.Plating, o.Thickness = cmp.Or(o.Plating, c.Plating), cmp.Or(o.Thickness, c.Board)
	o.Etch, o.Close = cmp.Or(o.Etch, c.Etch), cmp.Or(o.Close, c.Close)
	o.Tip, o.Temp = cmp.Or(o.Tip, whole.Meter.Tip), cmp.Or(o.Temp, c.Temp)
	o.Filled, o.Ties = cmp.Or(o.Filled, c.Filled), cmp.Or(o.Ties, c.Ties)
	if s := whole.Steps; s != nil {
		o.Roles = append(slices.Clone(s.Roles), o.Roles...)
		if o.Copy == "" {
			o.Copy = s.Copy
		}
	}
	var ties []TieEdit
	for _, t := range whole.Ties {
		e := TieEdit{Part: t.Part, Pins: t.Pins, Open: t.Open}
		put(&e.Ohms, t.Ohms)
		put(&e.Factor, t.Factor)
		ties = append(ties, e)
	}
	o.TieEdits = append(ties, o.TieEdits...) // the flags' come last and win
	return o
}

// Locator opens the pair that a case is about.
func (p *Board) Locator(ctx context.Context, c *record.Case) (*Locator, error) {
	return p.LocatorBeside(ctx, c, nil)
}

// LocatorBeside does the same with work of its own on the other core, as in
// PairOptions.
func (p *Board) LocatorBeside(ctx context.Context, c *record.Case,
	beside func(*Pair) func() error) (*Locator, error) {
	if err := contradiction(c, InOrder(c.Findings)); err != nil {
		return nil, err
	}
	q := PairOptions{Nets: c.Nets[:], Foreign: true, Metal: c.Metal, Rates: suspect.DefaultRates(),
		Layers: layersApart(c.Copper), Beside: beside}
	q.cuts, q.off = p.cutsOf(c.Findings), takenOff(InOrder(c.Findings))
	var touched []Contacts
	for i, r := range c.Readings {
		at, err := p.ContactsOf(r)
		if err != nil {
			return nil, readingError(c, i, err)
		}
		touched = append(touched, at)
		q.spots = append(q.spots, at.Spots()...)
	}
	q.check = func(s *Pair) error {
		for i, at := range touched {
			if err := s.OnNets(at); err != nil {
				return readingError(c, i, err)
			}
		}
		return nil
	}
	s, err := p.NewPair(ctx, q)
	if err != nil {
		return nil, CaseError(c, err)
	}
	return &Locator{Pair: s, MoveCosts: locate.DefaultMoveCosts(), Ctx: ctx}, nil
}

// Locator is a pair with what has been read and found so far.
type Locator struct {
	*Pair
	Meter       locate.Meter     // that took the readings
	CopperKnown locate.Copper    // how well the copper is known
	MoveCosts   locate.MoveCosts // in seconds, and where the tips are
	Readings    []locate.Reading // with what the copper predicts for them
	Taken       []Contacts       // contacts of each reading
	findings    []locate.Finding
	heated      HeatCount        // by the case's findings
	in          []*network       // that each reading of a case was taken in
	later       []locate.Reading // what findings measured: they stand behind the readings
	Doubts      []board.Doubt    // about readings and findings
	Ctx         context.Context  // of the whole command
}

// OpenReading stands for an overload: more than any meter shows as a short.
const OpenReading = 1e9

// Take adds a reading.
func (w *Locator) Take(at Contacts, ohms, u float64, unit string) error {
	return w.takeIn(w.Whole(), at, ohms, u, unit)
}

// takeIn adds a reading taken in a network.
func (w *Locator) takeIn(n *network, at Contacts, ohms, u float64, unit string) error {
	r, err := w.Predict(n, at)
	if err != nil {
		return err
	}
	if unit == "good" && !r.SameNet {
		return fmt.Errorf("a reading across the nets of a good unit says nothing about this short: leave it out, " +
			"or take both places on one net")
	}
	r.Ohms, r.U = min(ohms, OpenReading), u
	w.Readings = append(w.Readings, r)
	w.Taken = append(w.Taken, at)
	return nil
}

// All is the readings and what findings measured.
func (w *Locator) All() []locate.Reading { return append(slices.Clone(w.Readings), w.later...) }

// Posterior weighs the suspects by all that is known.
func (w *Locator) Posterior() (*locate.Posterior, error) {
	return locate.Solve(locate.Case{
		Sites: w.Sites, Index: w.Index, Unlisted: w.Foreign, Elsewhere: w.Elsewhere, Readings: w.All(),
		Findings: w.findings,
		Meter:    w.Meter, Copper: w.CopperKnown, Loop: w.Solver.Loop, Drive: w.drive,
	})
}
