package engine

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"ohmward/internal/locate"
	"ohmward/internal/record"
)

// The shapes in which readings and findings are recorded; places in them are
// written as a person writes them.
type (
	Case    = record.Case
	Meter   = record.Meter
	Reading = record.Reading
	Finding = record.Finding
	Metal   = record.Metal
)

// Weigh takes a case's meter, readings and findings on the pair's copper. The
// pair itself stays as it is: what a case opens or cuts is the case's own.
func (s *Pair) Weigh(ctx context.Context, c *Case) (*Locator, error) {
	meter, err := MeterOf(c.Meter)
	if err != nil {
		return nil, err
	}
	own := *s
	w := &Locator{Pair: &own, MoveCosts: locate.DefaultMoveCosts(), Ctx: ctx, Meter: meter}
	w.CopperKnown = w.CopperUncertainty(c.Copper)
	for i, r := range c.Readings {
		at, err := w.ContactsOf(r)
		if err == nil {
			err = w.OnNets(at)
		}
		if err != nil {
			return nil, fmt.Errorf("reading %d: %w", i+1, err)
		}
	}
	return w, w.TakeAll(c)
}

// Result is what a case's readings and findings say about the place.
type Result struct {
	*Locator
	Post *locate.Posterior // after all readings and findings
}

// Locate weighs a case on the pair's copper.
func (s *Pair) Locate(ctx context.Context, c *Case) (*Result, error) {
	w, err := s.Weigh(ctx, c)
	if err != nil {
		return nil, err
	}
	post, err := w.Posterior()
	if err != nil {
		return nil, err
	}
	return &Result{w, post}, nil
}

// Candidates gives the places where the short may be, likeliest first.
func (r *Result) Candidates() []Candidate {
	var out []Candidate
	for _, pl := range r.Post.Places {
		out = append(out, r.Candidate(r.Post, pl))
	}
	return out
}

// Advice is a reading worth taking.
type Advice struct {
	Reading Reading // its places; no value yet
	Bits    float64 // expected information about the place
	Seconds float64 // that it takes
	Why     string  // in words
}

// Advise lists the readings worth taking, best first, and tells whether none of
// them is worth its time.
func (r *Result) Advise() (list []Advice, enough bool, err error) {
	moves, advice, err := r.Reads(r.Post)
	if err != nil {
		return nil, false, err
	}
	for _, m := range moves {
		list = append(list, Advice{Reading: r.ReadingAt(r.ContactsOfMove(m)), Bits: m.Bits, Seconds: m.Seconds,
			Why: m.Why})
	}
	return list, advice.Enough, nil
}

// ReadingAt writes contacts as a reading is recorded.
func (p *Board) ReadingAt(c Contacts) Reading {
	if !c.FourWire {
		return Reading{From: p.PlaceText(c.In), To: p.PlaceText(c.Out)}
	}
	return Reading{
		FourWire: true,
		Current:  [2]string{p.PlaceText(c.In), p.PlaceText(c.Out)},
		Sense:    [2]string{p.PlaceText(c.High), p.PlaceText(c.Low)},
	}
}

// String names a candidate as a person would: by its part, its nearest pins or
// its coordinates.
func (c Candidate) String() string { return locate.Name(c.Site) }

// AsError gives an error of the input or the work as an Error: what the text
// has behind a line break is the hint. A context's own error stays as it is.
func AsError(err error) error {
	var known *Error
	switch {
	case err == nil, errors.As(err, &known), errors.Is(err, context.Canceled),
		errors.Is(err, context.DeadlineExceeded):
		return err
	}
	what, hint, _ := strings.Cut(err.Error(), "\n")
	return &Error{What: what, Hint: hint, Cause: err}
}
