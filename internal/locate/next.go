package locate

import (
	"container/heap"
	"math"
	"slices"
	"sort"
	"sync"

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
	for _, c := range moves(a, b) {
		if c.Bits >= minBits && (!ok || c.Bits*m.Seconds > m.Bits*c.Seconds) {
			m, ok = c, true
		}
	}
	return m, ok, nil
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
	sort.SliceStable(moves, func(i, j int) bool {
		return moves[i].Bits/moves[i].Seconds > moves[j].Bits/moves[j].Seconds
	})
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
	rate    float64
	seconds float64
}

// rows is a table's coefficients group by group: mean and variance within the
// group, and the mean centred and weighted for the covariances.
type rows struct {
	mean, extra [][]float64
	centred     [][]float64
	square      []float64 // weighted variance between groups
}

func (pl *planner) rows(table [][]float64, probes []Probe) rows {
	g := len(pl.groups)
	out := rows{
		mean: make([][]float64, len(table)), extra: make([][]float64, len(table)),
		centred: make([][]float64, len(table)), square: make([]float64, len(table)),
	}
	parallel.Workers(len(table), 8, func() func(int) {
		return func(i int) {
			if !probes[i].Reach {
				return
			}
			m, e, c := make([]float64, g), make([]float64, g), make([]float64, g)
			column(pl.groups, table[i], m, e)
			pl.centre(m, c)
			out.mean[i], out.extra[i], out.centred[i] = m, e, c
			out.square[i] = dot(c, c)
		}
	})
	return out
}

// centre puts into c the groups' means at the copper factors that are
// believed, less the mean of all and by the root of each group's weight.
func (pl *planner) centre(mean, c []float64) {
	mu := 0.0
	for k := range pl.groups {
		gr := &pl.groups[k]
		c[k] = gr.mo.kappa * mean[k]
		mu += gr.weight * c[k]
	}
	for k := range pl.groups {
		c[k] = math.Sqrt(pl.groups[k].weight) * (c[k] - mu)
	}
}

// twoWire gives the best two-wire moves.
func (pl *planner) twoWire(a, b Table) []Move {
	ra, rb := pl.rows(a.R, a.Probes), pl.rows(b.R, b.Probes)
	off, offVar := pl.offsets()
	ca, cb := project(ra.centred, off), project(rb.centred, off)
	base := dot(off, off)
	noise := pl.p.Case.Meter.planned()
	within := noise*noise + offVar
	all := make([]pair, len(a.Probes)*len(b.Probes))
	for i := range all {
		all[i].rate = -1
	}
	parallel.Workers(len(a.Probes), 8, func() func(int) {
		return func(i int) {
			if ra.mean[i] == nil {
				return
			}
			for j := range b.Probes {
				if rb.mean[j] == nil {
					continue
				}
				between := ra.square[i] + rb.square[j] + base + 2*(dot(ra.centred[i], rb.centred[j])+ca[i]+cb[j])
				s := pl.h.twoWire(a.Probes, b.Probes, i, j)
				all[i*len(b.Probes)+j] = pair{i, j, math.Log(1+math.Max(between, 0)/within) / s, s}
			}
		}
	})
	list := slices.DeleteFunc(all, func(p pair) bool { return p.rate < 0 })
	full := shortlist
	if len(pl.groups) > 0 && !pl.groups[0].mo.sees {
		full = shortlist / 2 // broad outcomes are dear, and none stands out
	}
	list = best(list, full)
	return pl.evaluate(len(list), func(k int) float64 { return list[k].rate },
		func(k int, scratch []outcome) (Move, []outcome) {
			c := list[k]
			return Move{From: c.i, To: c.j, Seconds: c.seconds}, pl.across(ra, rb, c.i, c.j, scratch)
		})
}

// evaluationBatch is how many candidates are worked out at a time.
const evaluationBatch = 16

// moveWorkspace is what the evaluation of one candidate takes.
type moveWorkspace struct {
	bins
	list []outcome
}

// evaluate works out the information of candidates whose first estimates of bits
// per second fall, until no further one is likely to be kept: what a reading
// tells seldom exceeds its estimate. give fills in a move and its outcomes.
func (pl *planner) evaluate(n int, rate func(k int) float64,
	give func(k int, scratch []outcome) (Move, []outcome)) []Move {
	var moves []Move
	least := newRateThreshold(pl.keep)
	hopeless := func(k int) bool { return pruningFactor*rate(k)/(2*math.Ln2) < least.rate() }
	lot := evaluationBatch
	if pl.keep == 1 {
		lot = 1 // the first few will do
	}
	some := make([]Move, lot)
	scratches := sync.Pool{New: func() any { return new(moveWorkspace) }}
	for from := 0; from < n && !hopeless(from); from += lot {
		last := min(from+lot, n)
		parallel.Workers(last-from, 2, func() func(k int) {
			return func(k int) {
				r := scratches.Get().(*moveWorkspace)
				some[k], r.list = give(from+k, r.list[:0])
				some[k].Bits = r.information(r.list)
				some[k].Low, some[k].High = span90(r.list)
				scratches.Put(r)
			}
		})
		for k := from; k < last && !hopeless(k); k++ {
			moves = append(moves, some[k-from])
			least.see(some[k-from].Bits / some[k-from].Seconds)
		}
	}
	return moves
}

// rateThreshold remembers the rates of the moves that will be kept.
type rateThreshold struct {
	keep  int
	rates []float64
}

func newRateThreshold(keep int) *rateThreshold { return &rateThreshold{keep: keep} }

// rate is what a further move must exceed to be kept, in bits per second.
func (l *rateThreshold) rate() float64 {
	if len(l.rates) < l.keep {
		return 0
	}
	return l.rates[l.keep-1]
}

// see adds a move's rate; the rates fall.
func (l *rateThreshold) see(rate float64) {
	at := sort.Search(len(l.rates), func(i int) bool { return l.rates[i] < rate })
	l.rates = slices.Insert(l.rates, at, rate)
	l.rates = l.rates[:min(len(l.rates), l.keep)]
}

// offsets is each group's mean two-wire offset, centred and weighted, and the
// mean variance of it; where Rs has not been seen it is the same for all.
func (pl *planner) offsets() (centred []float64, within float64) {
	mu := 0.0
	for _, g := range pl.groups {
		mu += g.weight * g.mo.offset
		within += g.weight * g.mo.varOffset
		if !g.mo.sees {
			within += g.weight * 1e-6 // a milliohm: Rs is mostly small
		}
	}
	for _, g := range pl.groups {
		centred = append(centred, math.Sqrt(g.weight)*(g.mo.offset-mu))
	}
	return centred, within
}

func project(rows [][]float64, v []float64) []float64 {
	out := make([]float64, len(rows))
	for i, r := range rows {
		if r != nil {
			out[i] = dot(r, v)
		}
	}
	return out
}

// best gives the n pairs of the highest rate, in a fixed order: a heap of the
// best so far, the least of them on top.
func best(list []pair, n int) []pair {
	if len(list) > n {
		top := pairHeap(list[:n:n])
		heap.Init(&top)
		for _, c := range list[n:] {
			if top[0].less(c) {
				top[0] = c
				heap.Fix(&top, 0)
			}
		}
		list = top
	}
	sort.Slice(list, func(x, y int) bool { return list[y].less(list[x]) })
	return list
}

// less tells whether a pair comes after another.
func (a pair) less(b pair) bool {
	if a.rate != b.rate {
		return a.rate < b.rate
	}
	return a.i > b.i || a.i == b.i && a.j > b.j
}

type pairHeap []pair

func (h pairHeap) Len() int           { return len(h) }
func (h pairHeap) Less(i, j int) bool { return h[i].less(h[j]) }
func (h pairHeap) Swap(i, j int)      { h[i], h[j] = h[j], h[i] }
func (h *pairHeap) Push(any)          { panic("locate: a heap of fixed size") }
func (h *pairHeap) Pop() any          { panic("locate: a heap of fixed size") }

// across adds the outcomes of a two-wire reading between two places.
func (pl *planner) across(ra, rb rows, i, j int, out []outcome) []outcome {
	m := pl.p.Case.Meter
	noise := m.planned()
	for k := range pl.groups {
		g := &pl.groups[k]
		c := ra.mean[i][k] + rb.mean[j][k]
		mean := g.mo.kappa*c + g.mo.offset
		v := c*c*g.mo.varKappa + 2*c*g.mo.covKB + g.mo.varOffset + ra.extra[i][k] + rb.extra[j][k]
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
