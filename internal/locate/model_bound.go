package locate

import "math"

// bound is the Cramér–Rao standard deviation, in millimetres, of the short's
// place along its suspect at a site, for the readings of the case: no unbiased
// method that knows only the row can do better. Copper factors and lead residue
// count with their priors, Rs as free. ok is false where the readings do not
// tell places along the suspect apart, or the site has no neighbour. The values
// of the readings matter only through the meter's proportional part, so it can
// be had before any is taken.
func (m *model) bound(site int) (sigmaMM float64, ok bool) {
	if len(m.readings) == 0 || m.links[site].span == 0 {
		return 0, false
	}
	w := m.newWorkspace()
	m.load(site, w)
	for k, r := range m.readings {
		w.c[k] = r.Ohms - m.slope(k, site) // so that the place's gradient is what gaussianFit sees
		w.u[k*m.cols+m.cols-1] = 0         // the place is what is asked, no nuisance here
		if w.touches[k].base > 0 {
			w.sd[k] /= math.Sqrt(touchInformation())
		}
	}
	clear(w.touches)
	// With g the gradient and V the readings' covariance, all nuisances taken out,
	// the information is gᵀV⁻¹g - (gᵀV⁻¹d)²/(dᵀV⁻¹d).
	q := m.gaussianFit(w)
	j := q.a
	if q.c > 0 {
		j -= q.b * q.b / q.c
	}
	if !(j > 1e-9*q.a) { // the difference is rounding: nothing is told
		return 0, false
	}
	sigma := 1e3 / math.Sqrt(j)
	return sigma, sigma < 1e4
}
