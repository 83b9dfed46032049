package locate

import "math"

// Bound is the Cramér–Rao standard deviation, in millimetres, of the short's
// place along its suspect at a site, for the readings of the case: no unbiased
// method can do better. Copper factors and lead residue count with their
// priors, Rs as free. ok is false where the readings do not tell places along
// the suspect apart, or the site has no neighbour. The values of the readings
// matter only through the meter's proportional part, so the bound can be had
// before any is taken. The contract's figure is 0.674 times it.
func (c Case) Bound(site int) (sigmaMM float64, ok bool) {
	m := newModel(c, c.siteIndex(), counts)
	return m.bound(site)
}

// Bound is Case.Bound at a site of the posterior.
func (p *Posterior) Bound(site int) (sigmaMM float64, ok bool) { return p.model.bound(site) }

func (m *model) bound(site int) (sigmaMM float64, ok bool) {
	if len(m.readings) == 0 || m.links[site].span == 0 {
		return 0, false
	}
	w := m.newWorkspace()
	m.load(site, w)
	g := make([]float64, len(m.readings))
	for k := range m.readings {
		g[k] = m.slope(k, site)
		w.u[k*m.cols+m.cols-1] = 0 // the place is what is asked, no nuisance here
		if w.touches[k].base > 0 {
			w.sd[k] /= math.Sqrt(touchInformation())
		}
	}
	j := m.precision(w, g)
	if !(j > 0) {
		return 0, false
	}
	sigma := 1e3 / math.Sqrt(j)
	return sigma, sigma < 1e4
}

// precision is the information on one parameter with gradient g, all
// nuisances taken out: gᵀV⁻¹g - (gᵀV⁻¹d)²/(dᵀV⁻¹d).
func (m *model) precision(w *workspace, g []float64) float64 {
	// gauss gives a = eᵀV⁻¹e, b = dᵀV⁻¹e, c = dᵀV⁻¹d for e = y - c; with
	// c = y - g that is what is needed. w.c is not used again.
	for k, r := range m.readings {
		w.c[k] = r.Ohms - g[k]
	}
	clear(w.touches)
	q := m.gaussianFit(w)
	if q.c <= 0 {
		return q.a
	}
	j := q.a - q.b*q.b/q.c
	if j < 1e-9*q.a { // the difference is rounding: nothing is told
		return 0
	}
	return j
}
