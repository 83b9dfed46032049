package locate

import (
	"math"
	"sort"
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
	var list []fourPair
	for _, i := range pl.entries(rg, own.Probes, pl.clipNow(onB)) {
		list = append(list, pl.pairs(own, other, rg, tips, i, exit, onB)...)
	}
	sort.SliceStable(list, func(x, y int) bool { return list[x].rate > list[y].rate })
	list = list[:min(len(list), shortlist)]
	return pl.evaluate(len(list), func(k int) float64 { return list[k].rate },
		func(k int, scratch []outcome) (Move, []outcome) {
			c := list[k]
			m := Move{FourWire: true, SenseM: c.i, SenseN: c.j, SenseOnB: onB, Seconds: c.seconds, CurrentA: c.entry,
				CurrentB: exit}
			if onB {
				m.CurrentA, m.CurrentB = exit, c.entry
			}
			return m, pl.sense(own, rg, c.entry, c.i, c.j, scratch)
		})
}

type fourPair struct {
	pair
	entry int
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
func (pl *planner) entries(r rows, probes []Probe, now int) []int {
	var clips []int
	for i, q := range probes {
		if q.Reach && q.Clip {
			clips = append(clips, i)
		}
	}
	if len(clips) == 0 {
		clips = pl.spread(r, probes, 4*maxClips)
	}
	out := []int{}
	if now >= 0 && now < len(probes) {
		out = append(out, now)
	}
	return farthest(probes, clips, out, maxClips)
}

// spread picks reachable places: those whose coefficient varies most from
// group to group, spread over the board.
func (pl *planner) spread(r rows, probes []Probe, n int) []int {
	var all []int
	for i := range probes {
		if r.mean[i] != nil {
			all = append(all, i)
		}
	}
	if len(all) <= n {
		return all
	}
	sort.SliceStable(all, func(x, y int) bool { return r.square[all[x]] > r.square[all[y]] })
	return farthest(probes, all, all[:n/2:n/2], n)
}

// farthest adds to start, up to n in all, the candidate farthest from all
// chosen ones, again and again.
func farthest(probes []Probe, from, start []int, n int) []int {
	out := append([]int(nil), start...)
	for len(out) < n {
		at, far := -1, 0.0
		for _, c := range from {
			d := math.Inf(1)
			for _, o := range out {
				d = math.Min(d, math.Hypot(probes[c].X-probes[o].X, probes[c].Y-probes[o].Y))
			}
			if d > far {
				at, far = c, d
			}
		}
		if at < 0 {
			break
		}
		out = append(out, at)
	}
	return out
}

// pairs estimates all pairs of tips for one entry of the current.
func (pl *planner) pairs(own, other Table, r rows, tips []int, entry, exit int, onB bool) []fourPair {
	v := make([][]float64, len(tips))
	for k, m := range tips {
		v[k] = pl.drop(own, r, entry, m)
	}
	noise := pl.p.Case.Meter.NoiseFourWireOhms
	var out []fourPair
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
			rate := math.Log1p(sq/(noise*noise+wide)) / s
			out = append(out, fourPair{pair{i, j, rate, s}, entry})
		}
	}
	return out
}

// drop is h(m) group by group for current entering at i.
func (pl *planner) drop(own Table, r rows, i, m int) []float64 {
	out := make([]float64, len(pl.groups))
	for g := range out {
		out[g] = own.GP[m][i] - r.mean[m][g]
	}
	return out
}

// sense adds the outcomes of a four-wire reading.
func (pl *planner) sense(own Table, r rows, entry, m, n int, out []outcome) []outcome {
	mt := pl.p.Case.Meter
	hm, hn := pl.drop(own, r, entry, m), pl.drop(own, r, entry, n)
	for k := range pl.groups {
		g := &pl.groups[k]
		c := hm[k] - hn[k]
		v := c*c*g.mo.varKappa + mt.NoiseFourWireOhms*mt.NoiseFourWireOhms
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
