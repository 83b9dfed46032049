package ohmward

import (
	"context"
	"sync"

	"ohmward/geom"
	"ohmward/internal/engine"
	"ohmward/unit"
)

// Pair is two nets with their copper solved. Its methods may be called from
// several goroutines at once; one locates at a time.
type Pair struct {
	own *engine.Pair
	mu  *sync.Mutex
}

// Nets gives the two nets' names.
func (p *Pair) Nets() [2]string { return p.own.Names }

// Site is a place where the two nets could touch: A on the first, B on the
// second.
type Site struct {
	Kind           string      // "gap", "part", "layers" or "metal"
	Name           string      // as a person would call it: by its part, its nearest pins or its coordinates
	LayerA, LayerB string      // "L1" is the top
	A, B           geom.Point  // nanometres in the files' frame
	Gap            unit.Length // between the copper edges; 0 inside a part
	Part           string      // of "part" and "metal"; else ""
	Near           []string    // the nearest pins, nearest first
	Hidden         bool        // under a part's body or shell
	Covered        bool        // under solder mask
	Probability    float64     // of this place: before any reading, or after those that were weighed
}

func (s Site) String() string { return s.Name }

// Suspects lists where the two nets could touch, likeliest first, before any
// reading.
func (p *Pair) Suspects() []Site {
	var out []Site
	for _, c := range p.own.Suspects() {
		out = append(out, siteOf(p.own, c))
	}
	return out
}

func siteOf(p *engine.Pair, c engine.Candidate) Site {
	s := c.Site
	return Site{
		Kind: s.Kind.String(), Name: c.String(), LayerA: p.Layout.Layers[s.LayerA].Name,
		LayerB: p.Layout.Layers[s.LayerB].Name,
		A:      s.A, B: s.B, Gap: unit.Length(s.Gap), Part: s.Part, Near: s.Near, Hidden: s.Hidden,
		Covered:     s.Covered,
		Probability: c.P,
	}
}

// What is recorded at the bench. Places are written as Board.Resistance takes
// them.
type (
	// Meter is the meter and the touch: Profile names one such as
	// "bench-6.5-digit" (also ""), and what is not nil counts over it, such as
	// Noise and NoiseFourWire (standard deviation of one touch), Fraction (of the
	// reading), Null (what nulling leaves) and Touch ("steady" or "hand").
	Meter = engine.Meter
	// Reading is one reading: two-wire between the places From and To; or, with
	// FourWire set, with current from Current[0] to Current[1] and volts between
	// Sense[0] and Sense[1]. Ohms is its value with the leads nulled, unit.Open
	// for an overload; U, if not nil, its own standard uncertainty; Unit is
	// "good" for one taken on a sound unit.
	Reading = engine.Reading
	// Finding is what was done (Done: "removed", "lifted", "reflowed", "looked",
	// "cut", "split", "warmed" and the like) to a Part or at a Place, after so
	// many readings (After), and what came of it: Short is "remains", "open" or
	// "cleared", Seen what a look saw.
	Finding = engine.Finding
)

// Evidence is what the place is judged by, in the order in which it came.
type Evidence struct {
	Meter    Meter     // that took the readings
	Readings []Reading // in the order taken
	Findings []Finding // in the order made
}

// Locate weighs all places by the evidence. The evidence stays the caller's.
func (p *Pair) Locate(e Evidence) (*Posterior, error) {
	return p.LocateContext(context.Background(), e)
}

// LocateContext does so until the context ends.
func (p *Pair) LocateContext(ctx context.Context, e Evidence) (*Posterior, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	c := &engine.Case{Nets: p.own.Names, Meter: e.Meter, Readings: e.Readings, Findings: e.Findings}
	r, err := p.own.Locate(ctx, c)
	if err != nil {
		return nil, engine.AsError(err)
	}
	return &Posterior{own: r, mu: p.mu}, nil
}
