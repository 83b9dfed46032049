package locate

import (
	"math"
	"sort"
)

// group is a handful of samples that plans treat as one place.
type group struct {
	weight float64 // share of the listed mass
	sites  []int
	part   []float64 // share of each site in the group
	mo     moments
	prior  rsPrior
	lead   int // its heaviest site
}

const (
	planMass  = 0.999
	maxGroups = 250
	// Before Rs has been seen each outcome is a broad mixture, dear to work
	// out; the first move need not be the very best.
	maxBroad = 90
)

// groupSites merges samples of one suspect within a cell, and makes the cell
// larger until there are few enough groups for quick planning.
func (p *Posterior) groupSites() []group {
	heavy := p.probableSites(len(p.P))
	limit := maxGroups
	if !p.fits[heavy[0]].sees {
		limit = maxBroad
	}
	for cell := 0.5; ; cell *= 1.5 {
		if g := p.groupBy(heavy, cell); len(g) <= limit || cell > 50 {
			return p.finish(g[:min(len(g), limit)])
		}
	}
}

// groupBy groups the samples of a cell.
func (p *Posterior) groupBy(heavy []int, cell float64) []group {
	type key struct {
		s       suspectKey
		i, j    int
		foreign bool
	}
	index := map[key]int{}
	var out []group
	for _, s := range heavy {
		x, y := p.index.x[s], p.index.y[s]
		k := key{p.index.keys[p.index.id[s]], int(math.Floor(x / cell)), int(math.Floor(y / cell)),
			s >= p.Case.listed()}
		if cell > 2 { // far apart anyway: one suspect here is as good as the next
			k.s = suspectKey{kind: k.s.kind}
		}
		g, ok := index[k]
		if !ok {
			g = len(out)
			index[k] = g
			out = append(out, group{lead: s})
		}
		out[g].sites = append(out[g].sites, s)
		out[g].weight += p.P[s]
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].weight > out[j].weight })
	return out
}

// finish normalises weights and mixes the moments of each group's sites.
func (p *Posterior) finish(gs []group) []group {
	total := 0.0
	for _, g := range gs {
		total += g.weight
	}
	for i := range gs {
		g := &gs[i]
		var each []moments
		for _, s := range g.sites {
			g.part = append(g.part, p.P[s]/g.weight)
			each = append(each, p.planOf(s))
		}
		g.mo = mix(each, g.part)
		g.mo.sees = p.fits[g.lead].sees
		g.prior = priorOf(p.Case.Sites[g.lead].Kind)
		g.weight /= total
	}
	return gs
}

// planOf gives a site's moments; a site too light to have any has the prior's
// about the Rs that fits best.
func (p *Posterior) planOf(s int) moments {
	if m := p.plan[s]; m.kappa != 0 {
		return m
	}
	c, n := p.Case.Copper.usual(), p.Case.Meter.NullOhms
	return moments{kappa: 1, varKappa: c * c, offset: p.fits[s].rs, varOffset: n * n}
}

// column averages a table row over each group: the mean coefficient, and in
// extra its variance within the group.
func column(gs []group, row []float64, mean, extra []float64) {
	for i := range gs {
		g := &gs[i]
		first, m, q := row[g.sites[0]], 0.0, 0.0 // against the first: little cancels
		part := g.part[:len(g.sites)]
		for k, s := range g.sites {
			d := row[s] - first
			m += part[k] * d
			q += part[k] * d * d
		}
		mean[i], extra[i] = first+m, math.Max(q-m*m, 0)
	}
}
