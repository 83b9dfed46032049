package locate

import (
	"cmp"
	"math"
	"slices"
)

// fourWire gives the best four-wire moves with volts on one net. The reading
// is h(m) - h(n) with h(m) = G(m,i) - G(m,s): free of Rs and of where the
// current leaves on the other net.
func (pl *planner) fourWire(own, other Table, onB bool) []Move {
	if own.GP == nil || len(own.Probes) < 3 || len(other.Probes) == 0 {
		return nil
	}
	exit := pl.clip(other.Probes, pl.clipNow(!onB))
	if exit < 0 {
		return nil
	}
	rg := pl.rows(own.G, own.Probes)
	tips := pl.spread(rg, own.Probes, maxFour)
	var list []pair
	for _, i := range pl.entries(rg, own.Probes, pl.clipNow(onB)) {
		list = append(list, pl.pairs(own, other, rg, tips, i, exit, onB)...)
	}
	return pl.evaluate(best(list, shortlist), func(c pair, out []outcome) (Move, []outcome) {
		m := Move{FourWire: true, SenseM: c.i, SenseN: c.j, SenseOnB: onB, Seconds: c.seconds, CurrentA: c.entry,
			CurrentB: exit}
		if onB {
			m.CurrentA, m.CurrentB = exit, c.entry
		}
		return m, pl.sense(own, rg, c.entry, c.i, c.j, out)
	})
}

func (pl *planner) clipNow(onB bool) int {
	if onB {
		return pl.h.At.CurrentB
	}
	return pl.h.At.CurrentA
}

// clip chooses where a current clip goes: where it is, or the largest place
// that holds one.
func (pl *planner) clip(probes []Probe, now int) int {
	if now >= 0 && now < len(probes) {
		return now
	}
	at := -1
	for i, q := range probes {
		if !q.Reach {
			continue
		}
		if at < 0 || q.Clip && !probes[at].Clip || q.Clip == probes[at].Clip && q.SizeMM > probes[at].SizeMM {
			at = i
		}
	}
	return at
}

// entries are the places for the current clip on the sensed net: where it is
// now, and some far from each other.
func (pl *planner) entries(r []tableRow, probes []Probe, now int) []int {
	var clips []int
	for i, q := range probes {
		if q.Reach && q.Clip {
			clips = append(clips, i)
		}
	}
	if len(clips) == 0 {
		clips = pl.spread(r, probes, 4*maxClips)
	}
	var out []int
	if now >= 0 && now < len(probes) {
		out = []int{now}
	}
	return Farthest(clips, out, maxClips, apart(probes))
}

// spread picks reachable places: those whose coefficient varies most from
// group to group, spread over the board.
func (pl *planner) spread(r []tableRow, probes []Probe, n int) []int {
	var all []int
	for i := range probes {
		if r[i].mean != nil {
			all = append(all, i)
		}
	}
	if len(all) <= n {
		return all
	}
	slices.SortStableFunc(all, func(x, y int) int { return cmp.Compare(r[y].square, r[x].square) })
	return Farthest(all, all[:n/2], n, apart(probes))
}

// apart gives the distance of two places, mm.
func apart(probes []Probe) func(i, j int) float64 {
	return func(i, j int) float64 { return math.Hypot(probes[i].X-probes[j].X, probes[i].Y-probes[j].Y) }
}

// Farthest adds to the chosen ones, until they are n, the candidate farthest from
// all of them, again and again; none that lies where a chosen one does.
func Farthest(from, chosen []int, n int, apart func(i, j int) float64) []int {
	out := slices.Clone(chosen)
	gap := slices.Repeat([]float64{math.Inf(1)}, len(from))
	for seen := 0; len(out) < n && len(from) > 0; {
		for ; seen < len(out); seen++ {
			for k, c := range from {
				gap[k] = math.Min(gap[k], apart(c, out[seen]))
			}
		}
		far := slices.Max(gap)
		if far <= 0 {
			break
		}
		out = append(out, from[slices.Index(gap, far)])
	}
	return out
}

// pairs estimates all pairs of tips for one entry of the current.
func (pl *planner) pairs(own, other Table, r []tableRow, tips []int, entry, exit int, onB bool) []pair {
	v := make([][]float64, len(tips))
	for k, m := range tips {
		v[k] = pl.drop(own, r, entry, m)
	}
	noise := pl.p.Case.Meter.OneTouch(true)
	var out []pair
	d := make([]float64, len(pl.groups))
	for k := range tips {
		for l := range k {
			i, j := tips[k], tips[l]
			if i == entry || j == entry {
				continue
			}
			mu, sq, wide := 0.0, 0.0, 0.0
			for g, gr := range pl.groups {
				x := v[k][g] - v[l][g]
				d[g] = gr.mo.kappa * x
				mu += gr.weight * d[g]
				wide += gr.weight * gr.mo.varKappa * x * x
			}
			for g, gr := range pl.groups {
				sq += gr.weight * (d[g] - mu) * (d[g] - mu)
			}
			s := pl.h.fourWire(own.Probes, other.Probes, entry, exit, i, j, onB)
			out = append(out, pair{i, j, entry, math.Log1p(sq/(noise*noise+wide)) / s, s})
		}
	}
	return out
}

// drop is h(m) group by group for current entering at i.
func (pl *planner) drop(own Table, r []tableRow, i, m int) []float64 {
	out := make([]float64, len(pl.groups))
	for g := range out {
		out[g] = own.GP[m][i] - r[m].mean[g]
	}
	return out
}

// sense adds the outcomes of a four-wire reading.
func (pl *planner) sense(own Table, r []tableRow, entry, m, n int, out []outcome) []outcome {
	mt := pl.p.Case.Meter
	noise := mt.OneTouch(true)
	hm, hn := pl.drop(own, r, entry, m), pl.drop(own, r, entry, n)
	for k := range pl.groups {
		g := &pl.groups[k]
		c := hm[k] - hn[k]
		v := c*c*g.mo.varKappa + noise*noise
		v += mt.ReadingFraction * mt.ReadingFraction * c * c
		v += spreadOf(*g, own.G[m], own.G[n])
		out = append(out, outcome{weight: g.weight, mean: g.mo.kappa * c, sd: math.Sqrt(v)})
	}
	return out
}

// spreadOf is the variance within a group of the difference of two rows.
func spreadOf(g group, a, b []float64) float64 {
	m, q := 0.0, 0.0
	for k, s := range g.sites {
		m += g.part[k] * (a[s] - b[s])
	}
	for k, s := range g.sites {
		d := a[s] - b[s] - m
		q += g.part[k] * d * d
	}
	return q
}
