package locate

import (
	"fmt"
	"math"
)

// Advice is whether another reading is worth its time.
type Advice struct {
	Enough bool
	Why    string
}

const (
	// lookSeconds is what it takes to clean one more place and look at it,
	// package repair's three minutes: common practice, no source.
	lookSeconds = 180
	enoughMM    = 0.5 // nobody looks at less of a board than this
	enoughBits  = 0.1
	// leastReadings is enough without a reading to spare, where readings of one
	// net leave nothing over.
	leastReadings = 4
)

// Stop weighs the best move against looking at the places as they stand. With
// H bits of doubt left about 2^H places are to be looked at, half of them on
// average; a reading of b bits leaves 2^(H-b).
func (p *Posterior) Stop(moves []Move) Advice {
	if p.Fit.Verdict != OneShort {
		return Advice{false, p.Fit.Why}
	}
	if p.Fit.DoF < 1 && len(moves) > 0 && len(p.model.read) < leastReadings {
		return Advice{false, "one more reading checks the others: so far a slipped tip would not show"}
	}
	if p.Best.RadiusMM <= enoughMM && p.Best.RadiusMass >= radiusMass {
		return Advice{true, fmt.Sprintf("nine chances in ten lie within %.1f mm: look there", p.Best.RadiusMM)}
	}
	if len(moves) == 0 {
		return Advice{true, "no place that can be touched would say more"}
	}
	m := moves[0]
	if m.Bits < enoughBits {
		return Advice{true, "no place that can be touched would say much more"}
	}
	n := math.Exp2(p.doubt())
	saved := 0.5 * lookSeconds * n * (1 - math.Exp2(-m.Bits))
	if saved < m.Seconds {
		return Advice{true, fmt.Sprintf("looking at the %.0f places left takes less time than telling them apart", math.Max(1, math.Round(n)))}
	}
	return Advice{false, "the next reading saves more looking than it takes"}
}

// doubt is the entropy over the listed places, in bits; places are as people
// look at them, a millimetre or so each.
func (p *Posterior) doubt() float64 {
	h, total := 0.0, 0.0
	for _, pl := range p.Places {
		total += pl.P
	}
	for _, pl := range p.Places {
		if q := pl.P / total; q > 0 {
			h -= q * math.Log2(q)
		}
	}
	return h
}
