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

// planMoments gives the moments at one value of Rs, from the factor in w.h.
// The copper factor of a further reading is taken as the common factor plus
// the mean of the own ones, weighted as the readings so far are.
func (m *model) planMoments(w *work, r float64, hand bool) moments {
	n := m.cols
	mean := w.scratch[:n]
	if hand {
		copy(mean, w.theta)
	} else {
		for i := range n {
			mean[i] = w.a[i] - r*w.b[i]
		}
		backward(w.h, n, mean)
	}
	out := moments{kappa: 1, offset: r}
	lk, lz := w.lk, w.lz
	clear(lk)
	clear(lz)
	lk[0] = m.copper.Scale
	for j, l := range m.own {
		lk[1+j] = m.copper.own(l) * m.share(w, l)
	}
	out.kappa += dot(lk, mean)
	if col, ok := m.column[m.null]; ok {
		lz[col] = m.meter.NullOhms
		out.offset += dot(lz, mean)
	} else {
		out.varOffset = m.meter.NullOhms * m.meter.NullOhms
	}
	forward(w.h, n, lk)
	forward(w.h, n, lz)
	out.varKappa = dot(lk, lk)
	if len(m.read) == 0 {
		out.varKappa = m.copper.usual() * m.copper.usual()
	}
	out.covKB = dot(lk, lz)
	out.varOffset += dot(lz, lz)
	return out
}

// share is component l's part of the readings' copper at the loaded site.
func (m *model) share(w *work, l int) float64 {
	if len(m.read) == 0 || m.copper.own(l) == 0 {
		return 0
	}
	n := m.cols
	col := 0
	for j, x := range m.own {
		if x == l {
			col = 1 + j
		}
	}
	part, all := 0.0, 0.0
	for k := range m.read {
		part += math.Abs(w.u[k*n+col]) / m.copper.own(l)
		all += math.Abs(w.c[k])
	}
	if all == 0 {
		return 0
	}
	return math.Min(part/all, 1)
}

// planOver adds up the moments over the nodes of Rs. Given r the means are
// linear in it and the variances constant, so r's mean and variance say all.
func (m *model) planOver(w *work) moments {
	out, one := m.planMoments(w, 0, false), m.planMoments(w, 1, false)
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

// planRough takes Rs as known to a deviation that the offset has in full.
func (m *model) planRough(w *work, r, sd float64) moments {
	out := m.planMoments(w, r, true)
	out.varOffset = math.Max(out.varOffset, sd*sd)
	return out
}

// accumulator mixes moments with logarithmic weights.
type accumulator struct {
	list []moments
	log  []float64
}

func (a *accumulator) add(m moments, log float64) {
	a.list, a.log = append(a.list, m), append(a.log, log)
}

func (a *accumulator) result() moments {
	total := logSumExp(a.log)
	var out moments
	for i, m := range a.list {
		p := math.Exp(a.log[i] - total)
		out.kappa += p * m.kappa
		out.offset += p * m.offset
	}
	for i, m := range a.list {
		p := math.Exp(a.log[i] - total)
		dk, db := m.kappa-out.kappa, m.offset-out.offset
		out.varKappa += p * (m.varKappa + dk*dk)
		out.covKB += p * (m.covKB + dk*db)
		out.varOffset += p * (m.varOffset + db*db)
	}
	return out
}
