package ohmward

import (
	"sync"

	"ohmward/internal/engine"
	"ohmward/unit"
)

// Posterior is what the evidence says about the place of the short. Its
// methods may be called from several goroutines at once.
type Posterior struct {
	own *engine.Result
	mu  *sync.Mutex // the pair's
}

// Places lists where the short may be, likeliest first.
func (p *Posterior) Places() []Site {
	var out []Site
	for _, c := range p.own.Candidates() {
		out = append(out, siteOf(p.own.Pair, c))
	}
	return out
}

// Best gives the place that the evidence points at; false where it leaves none.
func (p *Posterior) Best() (Site, bool) {
	c := p.own.Best(p.own.Post)
	if c == nil {
		return Site{}, false
	}
	return siteOf(p.own.Pair, *c), true
}

// Radius is the distance from the best place, in plan, within which the short
// lies with the given mass of probability: at least 0.9, or all that is listed.
func (p *Posterior) Radius() (radius unit.Length, mass float64) {
	c := p.own.Best(p.own.Post)
	if c == nil {
		return 0, 0
	}
	return unit.Length(c.RadiusMM) * unit.Millimetre, c.RadiusMass
}

// Ohms is the short's own resistance if it is at the best place: 5 %, half and
// 95 % of its distribution.
func (p *Posterior) Ohms() (low, median, high unit.Resistance) {
	c := p.own.Best(p.own.Post)
	if c == nil {
		return 0, 0, 0
	}
	return unit.Resistance(c.Ohms.Low), unit.Resistance(c.Ohms.Median), unit.Resistance(c.Ohms.High)
}

// Elsewhere is the probability of a place that is not listed.
func (p *Posterior) Elsewhere() float64 { return p.own.Post.Elsewhere }

// Verdict says how well one short explains the readings: "no reading yet", "one
// short", "more than one", "readings disagree", "intermittent" or "not a short".
func (p *Posterior) Verdict() string { return p.own.Post.Fit.Verdict }

// Advice is a reading worth taking.
type Advice = engine.Advice

// Next gives up to n readings worth taking, best first; none where another one
// is not worth its time.
func (p *Posterior) Next(n int) ([]Advice, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	list, enough, err := p.own.Advise()
	if err != nil {
		return nil, engine.AsError(err)
	}
	if enough {
		return nil, nil
	}
	return list[:min(n, len(list))], nil
}

// Error is a question that the engine cannot answer: What in one line, and a
// Hint that says what to try.
type Error = engine.Error
