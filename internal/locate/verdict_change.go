package locate

import (
	"fmt"
	"math"
	"reflect"
	"slices"
)

// ExplainChange says in one line why the answer's place is another than before the
// last reading, or "" where it is not. earlier is the posterior without it.
func (p *Posterior) ExplainChange(earlier *Posterior) string {
	n := len(p.Case.Readings) - 1
	if n < 1 || len(p.Places) == 0 || len(earlier.Places) == 0 || len(earlier.Case.Readings) != n {
		return ""
	}
	sites := p.Case.Sites
	was, is := earlier.Best.Site, p.Best.Site
	x0, y0 := sites[was].Mid()
	x, y := sites[is].Mid()
	d := math.Hypot(x-x0, y-y0)
	if d <= placeMM || d <= math.Max(earlier.Best.RadiusMM, p.Best.RadiusMM) &&
		Name(sites[was]) == Name(sites[is]) {
		return ""
	}
	value := p.Case.Readings[n]
	moves := fmt.Sprintf("reading %d moves the answer by %.0f mm, from %s to %s", n+1, d, Name(sites[was]),
		Name(sites[is]))
	if value.open() {
		return moves
	}
	if unreached(value.Predict(was)) {
		return moves + ": what was opened or cut before it leaves no way from there"
	}
	if m := earlier.expects(was, value); !math.IsNaN(m) {
		return fmt.Sprintf("%s: there it would have been %s, it is %s", moves,
			p.Case.Meter.Text(m, value.FourWire), p.Case.Meter.Text(value.Ohms, value.FourWire))
	}
	return moves
}

// Equal tells whether two cases say the same of the same places, so that they
// have one answer. What two bridges at once would need is left out.
func (c Case) Equal(o Case) bool {
	same := c.Index == o.Index && c.Index != nil && len(c.Sites) == len(o.Sites) && c.Elsewhere == o.Elsewhere &&
		c.Unlisted == o.Unlisted && c.Meter == o.Meter
	return same && reflect.DeepEqual(c.Copper, o.Copper) && reflect.DeepEqual(c.Findings, o.Findings) &&
		slices.EqualFunc(c.Readings, o.Readings, sameReading)
}

func sameReading(a, b Reading) bool {
	rows := slices.EqualFunc(a.C, b.C, slices.Equal) && slices.Equal(a.Slope, b.Slope)
	a.C, b.C, a.Slope, b.Slope = nil, nil, nil, nil
	return rows && reflect.DeepEqual(a, b)
}

// expects is what a further reading would be at a site, with the copper factor
// and the offset that the readings so far give there; NaN where they say
// nothing of it.
func (p *Posterior) expects(s int, r Reading) float64 {
	mo := p.plan[s]
	if mo.kappa == 0 || r.across() && !mo.sees {
		return math.NaN()
	}
	v := mo.kappa * r.Predict(s)
	if r.across() {
		v += mo.offset
	}
	return v
}

// AlternativeReading looks for another pair of places that would improve the fit if a
// reading had been taken there: candidates hold the coefficients of such
// readings, their value being the one of reading k. It gives the best
// candidate and the fit's P with it; -1 where none fits.
func (p *Posterior) AlternativeReading(k int, candidates []Reading) (best int, fit float64) {
	best = -1
	for i, other := range candidates {
		c := p.Case
		c.Readings = slices.Clone(p.Case.Readings)
		r := &c.Readings[k]
		r.C, r.D, r.Slope, r.SameNet = other.C, other.D, other.Slope, other.SameNet
		m := newModel(c, p.index, counts)
		if q := chiSquareTail(p.leastMisfit(m, p.possible), m.freedom(-1)); q > fit {
			best, fit = i, q
		}
	}
	if fit < 0.01 {
		return -1, fit
	}
	return best, fit
}
