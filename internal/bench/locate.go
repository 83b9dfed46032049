package bench

import (
	"context"
	"fmt"
	"slices"

	"ohmward/internal/locate"
	"ohmward/internal/record"
	"ohmward/internal/suspect"
)

// Locate says where the short of a case is, and draws it when picture names
// a file.
func Locate(ctx context.Context, casePath, picture string, o Options) (*LocateAnswer, error) {
	c, err := record.Read(casePath)
	if err != nil {
		return nil, bad(err)
	}
	if c.Nets[0] == "" {
		return nil, &Error{Kind: Bad, What: c.File + ": its two nets are not chosen yet", Hint: "choose them at the bench, or write nets = [\"+3V3\", \"GND\"]"}
	}
	meter, err := meterOf(c.Meter)
	if err != nil {
		return nil, caseError(c, err)
	}
	p, err := open(ctx, c.BoardPath(), o.under(c))
	if err != nil {
		return nil, err
	}
	w, err := p.atWork(ctx, c)
	if err != nil {
		return nil, err
	}
	w.meter, w.knowledge = meter, w.copperKnown(c.Copper)
	if err := w.takeAll(c); err != nil {
		return nil, err
	}
	w.progress("weighing the suspects")
	a, post, err := w.answer()
	if err != nil {
		return nil, caseError(c, err)
	}
	w.explain(a, post)
	a.Board, a.Doubts = c.Board, append(append(p.doubts(), w.notes...), w.doubts...)
	if len(c.Readings) == 0 {
		a.Cautions, a.Reach = w.cautions(), w.canDo(w.meter, w.knowledge)
	}
	if picture != "" {
		w.progress("drawing")
		if err := w.draw(picture, post, a); err != nil {
			return nil, bad(err)
		}
		a.Picture = picture
	}
	return a, w.doubtful(a, p.trusted())
}

// under puts a case's copper figures under the options given by flags.
func (o Options) under(whole *record.Case) Options {
	c := whole.Copper
	if !o.GivenCopper && c.Thickness != nil {
		o.CopperEach = c.Thickness
	}
	if !o.GivenPlating && c.Plating != nil {
		o.GivenPlating, o.Plating = true, *c.Plating
	}
	if !o.GivenThickness && c.Board != nil {
		o.GivenThickness, o.Thickness = true, *c.Board
	}
	if !o.GivenEtch && c.Etch != nil {
		o.GivenEtch, o.Etch = true, *c.Etch
	}
	if o.Filled == "" {
		o.Filled = c.Filled
	}
	if !o.GivenClose && c.Close != nil {
		o.GivenClose, o.Close = true, *c.Close
	}
	if tip := whole.Meter.Tip; !o.GivenTip && tip != nil {
		o.GivenTip, o.Tip = true, *tip
	}
	if !o.GivenTemp && c.Temp != nil {
		o.GivenTemp, o.Temp = true, *c.Temp
	}
	if !o.GivenTies && c.Ties != "" {
		o.Ties = c.Ties
	}
	if s := whole.Steps; s != nil {
		o.Roles = append(slices.Clone(s.Roles), o.Roles...)
		if o.Copy == "" {
			o.Copy = s.Copy
		}
	}
	var ties []TieEdit
	for _, t := range whole.Ties {
		e := TieEdit{Part: t.Part, Pins: t.Pins, Open: t.Open}
		if t.Ohms != nil {
			e.Ohms = *t.Ohms
		}
		if t.Factor != nil {
			e.Factor = *t.Factor
		}
		ties = append(ties, e)
	}
	o.TieEdits = append(ties, o.TieEdits...) // the flags' come last and win
	return o
}

// atWork opens the session that a case is about.
func (p *opened) atWork(ctx context.Context, c *record.Case) (*work, error) {
	return p.atWorkBeside(ctx, c, nil)
}

// atWorkBeside does the same with work of its own on the other core, as in
// question.
func (p *opened) atWorkBeside(ctx context.Context, c *record.Case, beside func(*session) func() error) (*work, error) {
	if err := contradiction(c, inOrder(c.Findings)); err != nil {
		return nil, bad(err)
	}
	q := question{nets: c.Nets[:], foreign: true, rates: suspect.DefaultRates(), layers: layersApart(c.Copper), beside: beside}
	for _, m := range c.Metal {
		q.metal = append(q.metal, metalBody{m.Part, m.Net})
	}
	q.cuts, q.off = p.cutsOf(c.Findings), takenOff(inOrder(c.Findings))
	var touched []contacts
	for i, r := range c.Readings {
		at, err := p.contactsOf(r)
		if err != nil {
			return nil, readingError(c, i, err)
		}
		touched = append(touched, at)
		q.spots = append(q.spots, at.spots()...)
	}
	q.check = func(s *session) error {
		for i, at := range touched {
			if err := s.onNets(at); err != nil {
				return readingError(c, i, err)
			}
		}
		return nil
	}
	s, err := p.newSession(ctx, q)
	if err != nil {
		return nil, caseError(c, err)
	}
	return &work{session: s, hands: locate.DefaultHands(), ctx: ctx}, nil
}

// work is a session with what has been read and found so far.
type work struct {
	*session
	meter     locate.Meter
	knowledge locate.Copper
	hands     locate.Hands
	readings  []locate.Reading
	taken     []contacts
	findings  []locate.Finding
	in        []*network       // that each reading of a case was taken in
	later     []locate.Reading // what findings measured: they stand behind the readings
	doubts    []Doubt
	ctx       context.Context // of the whole command
}

// openReading stands for an overload: more than any meter shows as a short.
const openReading = 1e9

// take adds a reading.
func (w *work) take(at contacts, ohms, u float64, unit string) error {
	return w.takeIn(w.whole(), at, ohms, u, unit)
}

// takeIn adds a reading taken in a network.
func (w *work) takeIn(n *network, at contacts, ohms, u float64, unit string) error {
	r, err := w.predictedIn(n, at)
	if err != nil {
		return err
	}
	if unit == "good" && !r.SameNet {
		return fmt.Errorf("a reading across the nets of a good unit says nothing about this short: leave it out, or take both places on one net")
	}
	r.Ohms, r.U = min(ohms, openReading), u
	w.readings = append(w.readings, r)
	w.taken = append(w.taken, at)
	return nil
}

// all is the readings and what findings measured.
func (w *work) all() []locate.Reading { return append(slices.Clone(w.readings), w.later...) }

// posterior weighs the suspects by all that is known.
func (w *work) posterior() (*locate.Posterior, error) {
	return locate.Solve(locate.Case{
		Sites: w.sites, Lay: w.lay, Foreign: w.foreign, Elsewhere: w.elsewhere, Readings: w.all(), Findings: w.findings,
		Meter: w.meter, Copper: w.knowledge, Loop: w.solver.loop, Drive: w.drive,
	})
}
