package locate

import "math"

// pairFit works out misfits of pairs of bridges; it keeps its room between
// calls.
type pairFit struct {
	m     *model
	loop  func(s, t int) float64
	drive [][]float64 // of each four-wire reading; else nil
	lead  []int       // of each reading, the column of its residue or offset
	load  []float64   // and how large that is, ohms

	// Of the pair at hand:
	around float64      // its loop
	seen   []seenByPair // by reading
	byLead []leadSum
}

// seenByPair is what one reading has of the pair at hand.
type seenByPair struct {
	cs, ct float64 // its coefficients at both sites
	ds, dt float64 // four-wire across: those of its current
	fixed  float64 // the part of its variance that its prediction does not change
	grows  float64 // and by how much it grows with the prediction's square
}

// leadSum gathers the readings of one residue or offset.
type leadSum struct{ own, scale, misfit float64 }

func newPairFit(m *model, loop func(s, t int) float64) *pairFit {
	f := &pairFit{m: m, loop: loop, drive: make([][]float64, len(m.readings)),
		lead: make([]int, len(m.readings)), load: make([]float64, len(m.readings))}
	for k, r := range m.readings {
		key, u := m.meter.lead(r)
		f.lead[k], f.load[k] = m.lead[key], u
	}
	f.byLead = make([]leadSum, m.cols)
	return f.fork()
}

// fork gives the same with room of its own, for another goroutine.
func (f *pairFit) fork() *pairFit {
	own := *f
	own.seen, own.byLead = make([]seenByPair, len(f.m.readings)), make([]leadSum, len(f.byLead))
	return &own
}

// turn goes to a pair of sites and the loop between them.
func (f *pairFit) turn(sites [2]int, loop float64) {
	s, t := sites[0], sites[1]
	f.around = loop
	for k := range f.m.readings {
		q := &f.seen[k]
		q.cs, q.ct = at(f.m.total[k], s), at(f.m.total[k], t)
		if f.drive[k] != nil {
			q.ds, q.dt = f.drive[k][s], f.drive[k][t]
		}
		q.fixed, q.grows = f.m.variance(k, s)
	}
}

// misfit is the chi-square of the pair at hand with given resistances, copper
// scale, residues and offsets integrated: with P the readings' weights, b = UᵀPe
// and M = I + UᵀPU, it is eᵀPe - bᵀM⁻¹b. No reading has two residues, so M is
// diagonal but for the scale's row, which is eliminated last.
func (f *pairFit) misfit(ohms [2]float64) float64 {
	m, r1, r2 := f.m, ohms[0], ohms[1]
	clear(f.byLead)
	sum, own, scale := 0.0, 1.0, 0.0
	parallel := r1 * r2 / (r1 + r2)
	for k := range m.readings {
		r, q := &m.readings[k], &f.seen[k]
		c, rest := q.cs, 0.0
		switch {
		case f.drive[k] != nil:
			x := share(q.ds, q.dt, f.around, r1, r2)
			c = x*q.cs + (1-x)*q.ct
		case r.D != 0:
			c = divided(q.cs, q.ct, f.around, r1, r2)
			rest = min(parallel, c)
		}
		v := q.fixed + q.grows*c*c
		e := r.Ohms - c
		if m.meter.HandHeld && !r.FourWire { // skewed
			e -= newTouch(math.Sqrt(v)).excess / float64(max(len(m.above[k]), 1))
		}
		p, u := 1/v, m.copper.Scale*(c-rest)
		sum += p * e * e
		own += p * u * u
		scale += p * u * e
		b, pw := &f.byLead[f.lead[k]], p*f.load[k]
		b.own += pw * f.load[k]
		b.scale += pw * u
		b.misfit += pw * e
	}
	for _, b := range f.byLead {
		per := 1 / (1 + b.own)
		sum -= b.misfit * b.misfit * per
		own -= b.scale * b.scale * per
		scale -= b.scale * b.misfit * per
	}
	return sum - scale*scale/own
}

// resistances tries all pairs of values at two sites.
func (f *pairFit) resistances(sites [2]int, values []float64) twoBridge {
	best := twoBridge{at: sites, chi2: math.Inf(1)}
	f.turn(sites, f.loop(sites[0], sites[1]))
	for _, r1 := range values {
		for _, r2 := range values {
			ohms := [2]float64{r1, r2}
			if x := f.misfit(ohms); x < best.chi2 {
				best.ohms, best.chi2 = ohms, x
			}
		}
	}
	return best
}
