package locate

import "math"

// moments is what is known, at one place, of the unknowns that a further
// reading would see: the copper factor κ on its coefficient, and the offset
// b = Rs + z of a two-wire reading in ohms (z of the newest null).
type moments struct {
	kappa, offset   float64 // means
	varKappa, covKB float64
	varOffset       float64
	sees            bool // some reading has seen Rs; else offset holds z alone
}

// predictive is how a further reading at the loaded site would see θ: the loadings
// of its copper factor and of its lead residue, and the variance of a residue
// that no reading has seen.
type predictive struct {
	copper, lead []float64
	solved       []float64 // both, solved for
	restLead     float64
}

// loadPredictive fills w.predictive for the loaded site. The copper factor of a
// further reading is taken as the common factor plus the mean of the own ones,
// weighted as the readings so far are.
func (m *model) loadPredictive(w *workspace) {
	a, u := &w.predictive, m.meter.NullOhms
	clear(a.copper)
	clear(a.lead)
	a.copper[0] = m.copper.Scale
	for j, l := range m.own {
		a.copper[1+j] = m.copper.own(l) * m.share(w, 1+j, l)
	}
	a.restLead = u * u
	if col, nulled := m.lead[leadKey{number: m.null}]; nulled {
		a.lead[col], a.restLead = u, 0
	}
}

// predictiveMoments gives the moments at one value of Rs, from the factor in w.h,
// w.theta and w.predictive.
func (m *model) predictiveMoments(w *workspace, r float64) moments {
	n, a := m.cols, &w.predictive
	lk, lz := a.solved[:n], a.solved[n:]
	copy(lk, a.copper)
	copy(lz, a.lead)
	out := moments{kappa: 1 + dot(lk, w.theta), offset: r + dot(lz, w.theta)}
	forward(w.h, n, lk)
	forward(w.h, n, lz)
	out.varKappa = dot(lk, lk)
	if len(m.readings) == 0 {
		out.varKappa = m.copper.usual() * m.copper.usual()
	}
	out.covKB = dot(lk, lz)
	out.varOffset = a.restLead + dot(lz, lz)
	return out
}

// share is component l's part of the readings' copper at the loaded site; col
// is its column.
func (m *model) share(w *workspace, col, l int) float64 {
	if len(m.readings) == 0 || m.copper.own(l) == 0 {
		return 0
	}
	part, all := 0.0, 0.0
	for k := range m.readings {
		part += math.Abs(w.u[k*m.cols+col]) / m.copper.own(l)
		all += math.Abs(w.c[k])
	}
	if all == 0 {
		return 0
	}
	return math.Min(part/all, 1)
}

// mixedMoments adds up the moments over the nodes of Rs. Given r the means are
// linear in it and the variances constant, so r's mean and variance say all.
func (m *model) mixedMoments(w *workspace) moments {
	m.loadPredictive(w)
	m.thetaAt(w, 0)
	out := m.predictiveMoments(w, 0)
	m.thetaAt(w, 1)
	one := m.predictiveMoments(w, 1)
	dk, db := one.kappa-out.kappa, one.offset-out.offset
	var mean, square float64
	for i, r := range w.rs {
		mean += w.chance[i] * r
	}
	for i, r := range w.rs {
		square += w.chance[i] * (r - mean) * (r - mean)
	}
	out.kappa += mean * dk
	out.offset += mean * db
	out.varKappa += square * dk * dk
	out.covKB += square * dk * db
	out.varOffset += square * db * db
	return out
}

// mix mixes moments by their shares, which sum to 1.
func mix(list []moments, share []float64) (out moments) {
	for i, m := range list {
		out.kappa += share[i] * m.kappa
		out.offset += share[i] * m.offset
	}
	for i, m := range list {
		dk, db := m.kappa-out.kappa, m.offset-out.offset
		out.varKappa += share[i] * (m.varKappa + dk*dk)
		out.covKB += share[i] * (m.covKB + dk*db)
		out.varOffset += share[i] * (m.varOffset + db*db)
	}
	return out
}
