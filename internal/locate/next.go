package locate

import (
	"cmp"
	"math"
	"slices"

	"ohmward/internal/parallel"
)

const (
	shortlist     = 160 // pairs whose information is worked out in full
	kept          = 12  // moves given back
	minBits       = 1e-3
	pruningFactor = 1.25 // by which the information may exceed its first estimate
	maxFour       = 48   // places considered for held volt tips
	maxClips      = 4    // places considered for the current clips
)

// Next ranks readings by the information about the place that they are
// expected to give per second of bench time. The tables' sites are the
// posterior's. Moves differ in what is touched; none is listed twice.
func (p *Posterior) Next(a, b Table, h MoveCosts) ([]Move, error) {
	pl, err := p.planner(&a, &b, h, kept)
	if pl == nil {
		return nil, err
	}
	moves := pl.twoWire(a, b)
	if h.FourWire {
		moves = append(moves, pl.fourWires(a, b)...)
	}
	moves = pick(moves)
	for i := range moves {
		pl.explain(&moves[i], a, b)
	}
	return moves, nil
}

// First is the best reading of one kind alone, without its reason in words; ok
// is false where none tells anything.
func (p *Posterior) First(a, b Table, h MoveCosts, fourWire bool) (m Move, ok bool, err error) {
	pl, err := p.planner(&a, &b, h, 1)
	if pl == nil {
		return Move{}, false, err
	}
	moves := pl.twoWire
	if fourWire {
		moves = pl.fourWires
	}
	best := pick(moves(a, b))
	if len(best) == 0 {
		return Move{}, false, nil
	}
	return best[0], true, nil
}

// planner checks the tables and leaves in them what can be reached; nil where
// there is nothing to plan for.
func (p *Posterior) planner(a, b *Table, h MoveCosts, keep int) (_ *planner, err error) {
	if *a, err = a.Prepare("A", len(p.P)); err != nil {
		return nil, err
	}
	if *b, err = b.Prepare("B", len(p.P)); err != nil {
		return nil, err
	}
	if len(p.Places) == 0 {
		return nil, nil
	}
	*a, *b = *a.ready, *b.ready
	return &planner{p: p, h: h, keep: keep, groups: p.groupSites()}, nil
}

// fourWires gives the best four-wire moves, volts on either net.
func (pl *planner) fourWires(a, b Table) []Move {
	return append(pl.fourWire(a, b, false), pl.fourWire(b, a, true)...)
}

// pick sorts by bits per second and keeps the best, two of them four-wire
// where there are any, so that the user sees what injection would give.
func pick(moves []Move) []Move {
	slices.SortStableFunc(moves, func(a, b Move) int { return cmp.Compare(b.Bits/b.Seconds, a.Bits/a.Seconds) })
	var out []Move
	four := 0
	for _, m := range moves {
		if m.FourWire {
			four++
		}
		switch {
		case m.Bits < minBits:
		case len(out) < kept-2, len(out) < kept && m.FourWire && four <= 2:
			out = append(out, m)
		}
	}
	return out
}

// planner holds what all candidate readings share.
type planner struct {
	p      *Posterior
	h      MoveCosts
	keep   int // moves wanted
	groups []group
}

// pair is a candidate with its first estimate of bits per second.
type pair struct {
	i, j    int
	entry   int // four-wire: of the current
	rate    float64
	seconds float64
}

// tableRow is a row of a table group by group: mean and variance within the
// group, and the mean centred and weighted for the covariances. A place out of
// reach has none.
type tableRow struct {
	mean, extra, centred []float64
	square               float64 // weighted variance between groups
}

func (pl *planner) rows(table [][]float64, probes []Probe) []tableRow {
	g := len(pl.groups)
	out := make([]tableRow, len(table))
	parallel.Each(len(table), func(i int) {
		if probes[i].Reach {
			r := tableRow{mean: make([]float64, g), extra: make([]float64, g)}
			column(pl.groups, table[i], r.mean, r.extra)
			r.centred = pl.centre(func(k int) float64 { return pl.groups[k].mo.kappa * r.mean[k] })
			r.square = dot(r.centred, r.centred)
			out[i] = r
		}
	})
	return out
}

// centre gives a value of each group less the mean of all, and by the root of
// the group's weight.
func (pl *planner) centre(value func(k int) float64) []float64 {
	c, mu := make([]float64, len(pl.groups)), 0.0
	for k, g := range pl.groups {
		c[k] = value(k)
		mu += g.weight * c[k]
	}
	for k, g := range pl.groups {
		c[k] = math.Sqrt(g.weight) * (c[k] - mu)
	}
	return c
}

// twoWire gives the best two-wire moves.
func (pl *planner) twoWire(a, b Table) []Move {
	ra, rb := pl.rows(a.R, a.Probes), pl.rows(b.R, b.Probes)
	off := pl.centre(func(k int) float64 { return pl.groups[k].mo.offset })
	noise := pl.p.Case.Meter.planned()
	within := noise*noise + pl.offsetVariance()
	lists := make([][]pair, len(ra))
	parallel.Each(len(ra), func(i int) {
		if ra[i].mean == nil {
			return
		}
		fixed := ra[i].square + dot(off, off) + 2*dot(ra[i].centred, off)
		for j, r := range rb {
			if r.mean != nil {
				between := fixed + r.square + 2*(dot(ra[i].centred, r.centred)+dot(r.centred, off))
				s := pl.h.twoWire(a.Probes, b.Probes, i, j)
				lists[i] = append(lists[i], pair{i: i, j: j, seconds: s,
					rate: math.Log(1+math.Max(between, 0)/within) / s})
			}
		}
	})
	full := shortlist
	if len(pl.groups) > 0 && !pl.groups[0].mo.sees {
		full = shortlist / 2 // broad outcomes are dear, and none stands out
	}
	return pl.evaluate(best(slices.Concat(lists...), full), func(c pair, out []outcome) (Move, []outcome) {
		return Move{From: c.i, To: c.j, Seconds: c.seconds}, pl.across(ra[c.i], rb[c.j], out)
	})
}

// evaluate works out the information of candidates whose first estimates of bits
// per second fall, until no further one is likely to be kept: what a reading
// tells seldom exceeds its estimate. give makes a move and its outcomes, which it
// adds to those given.
func (pl *planner) evaluate(list []pair, give func(c pair, out []outcome) (Move, []outcome)) []Move {
	var moves []Move
	var rates []float64 // of those, falling
	hopeless := func(k int) bool {
		return len(rates) >= pl.keep && pruningFactor*list[k].rate/(2*math.Ln2) < rates[pl.keep-1]
	}
	some := make([]Move, pl.keep)
	for from := 0; from < len(list) && !hopeless(from); from += len(some) {
		last := min(from+len(some), len(list))
		parallel.Workers(last-from, 2, func() func(k int) {
			var b bins
			var out []outcome
			return func(k int) {
				some[k], out = give(list[from+k], out[:0])
				some[k].Bits = b.information(out)
				some[k].Low, some[k].High = span90(out)
			}
		})
		for k := from; k < last && !hopeless(k); k++ {
			m := some[k-from]
			moves, rates = append(moves, m), append(rates, m.Bits/m.Seconds)
			slices.SortFunc(rates, func(a, b float64) int { return cmp.Compare(b, a) })
		}
	}
	return moves
}

// offsetVariance is the mean variance of the groups' two-wire offsets; where Rs
// has not been seen it is the same for all.
func (pl *planner) offsetVariance() (within float64) {
	for _, g := range pl.groups {
		within += g.weight * g.mo.varOffset
		if !g.mo.sees {
			within += g.weight * 1e-6 // a milliohm: Rs is mostly small
		}
	}
	return within
}

// best gives the n pairs of the highest rate, and of equal ones the first.
func best(list []pair, n int) []pair {
	if len(list) > n {
		rates := make([]float64, len(list))
		for i, c := range list {
			rates[i] = c.rate
		}
		slices.Sort(rates)
		list = slices.DeleteFunc(list, func(c pair) bool { return c.rate < rates[len(rates)-n] })
	}
	slices.SortStableFunc(list, func(a, b pair) int { return cmp.Compare(b.rate, a.rate) })
	return list[:min(n, len(list))]
}

// across adds the outcomes of a two-wire reading between two places.
func (pl *planner) across(a, b tableRow, out []outcome) []outcome {
	m := pl.p.Case.Meter
	noise := m.planned()
	for k := range pl.groups {
		g := &pl.groups[k]
		c := a.mean[k] + b.mean[k]
		mean := g.mo.kappa*c + g.mo.offset
		v := c*c*g.mo.varKappa + 2*c*g.mo.covKB + g.mo.varOffset + a.extra[k] + b.extra[k]
		v += noise*noise + m.ReadingFraction*m.ReadingFraction*mean*mean
		o := outcome{weight: g.weight, mean: mean, sd: math.Sqrt(v)}
		if !g.mo.sees {
			o.broad = broadDistributionOf(g.prior, o.sd)
		}
		out = append(out, o)
	}
	return out
}

// span90 is the range in which nine of ten such readings fall, about.
func span90(list []outcome) (low, high float64) {
	var mean, sq float64
	for _, o := range list {
		x := o.mean
		if o.broad != nil {
			x += o.broad.prior.quantile(0.5)
		}
		mean += o.weight * x
		sq += o.weight * (x*x + o.sd*o.sd)
	}
	sd := math.Sqrt(math.Max(0, sq-mean*mean))
	return mean - 1.645*sd, mean + 1.645*sd
}
