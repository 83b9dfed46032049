package locate

import (
	"math"
	"sort"
)

// quadratic is the exponent of a Gaussian likelihood in Rs with θ integrated:
// log L(r) = norm - ½(a - 2br + cr²).
type quadratic struct{ a, b, c, norm float64 }

func (q quadratic) mode() (r, sd float64) { return q.b / q.c, 1 / math.Sqrt(q.c) }

// chi2 is the smallest misfit with Rs inside the prior's range, and that Rs.
func (q quadratic) chi2(p rsPrior) (x, r float64) {
	if q.c <= 0 {
		return q.a, 0
	}
	r = math.Min(math.Max(q.b/q.c, p.low), p.high)
	return q.a - 2*q.b*r + q.c*r*r, r
}

// gaussianFit integrates θ in closed form for readings taken as Gaussian:
// with P = diag(1/sd²), M = I + UᵀPU and e = y - c - d·r,
// eᵀV⁻¹e = eᵀPe - (UᵀPe)ᵀM⁻¹(UᵀPe) and det V = det M / det P.
// Afterwards w.h holds the factor of M, and w.a, w.b hold L⁻¹UᵀPe₀ and L⁻¹UᵀPd.
// Skewed readings are taken less their mean excess.
func (m *model) gaussianFit(w *workspace) quadratic {
	n := m.cols
	var q quadratic
	clear(w.h)
	clear(w.a)
	clear(w.b)
	for i := range n {
		w.h[i*n+i] = 1
	}
	for k := range m.readings {
		r := &m.readings[k]
		p := 1 / (w.sd[k] * w.sd[k])
		e := r.Ohms - w.c[k] - w.excess(k)
		row := w.u[k*n : (k+1)*n]
		q.a += p * e * e
		q.b += p * e * r.D
		q.c += p * r.D * r.D
		for i, ui := range row {
			if ui == 0 {
				continue
			}
			w.a[i] += p * ui * e
			w.b[i] += p * ui * r.D
			for j := range i + 1 {
				w.h[i*n+j] += p * ui * row[j]
			}
		}
		q.norm += w.logPeak(k)
	}
	logDet, ok := cholesky(w.h, n)
	if !ok { // cannot be: M is I plus a sum of squares
		panic("locate: information matrix is not positive definite")
	}
	forward(w.h, n, w.a)
	forward(w.h, n, w.b)
	q.a -= dot(w.a, w.a)
	q.b -= dot(w.a, w.b)
	q.c -= dot(w.b, w.b)
	q.norm -= 0.5 * logDet
	return q
}

// leaveOneOut gives the misfit with reading j left out, where gauss gave q with all
// of them, shifted: with W the inverse of the readings' covariance and g = We,
// leaving one out takes g_j²/W_jj from eᵀWe. The determinant is left as it is.
func (m *model) leaveOneOut(w *workspace, q quadratic, j int) quadratic {
	ga, gd, h := m.alone(w, j)
	if !(h > 0) {
		return q // it tells nothing
	}
	q.a -= ga * ga / h
	q.b -= ga * gd / h
	if c := q.c - gd*gd/h; c > 1e-9*q.c {
		q.c = c
	} else { // no other sees Rs
		q.b, q.c = 0, 0
	}
	return q
}

// alone gives of reading k, with W the readings' precision with θ integrated:
// (We)_k at Rs = 0, (Wd)_k and W_kk. w is as gaussianFit left it.
func (m *model) alone(w *workspace, k int) (e, d, h float64) {
	n := m.cols
	t := w.scratch[:n]
	copy(t, w.u[k*n:(k+1)*n])
	forward(w.h, n, t)
	p := 1 / (w.sd[k] * w.sd[k])
	e = p * (m.readings[k].Ohms - w.c[k] - w.excess(k) - dot(t, w.a))
	return e, p * (m.readings[k].D - dot(t, w.b)), p - p*p*dot(t, t)
}

// thetaAt leaves in w.theta its top for a value of Rs.
func (m *model) thetaAt(w *workspace, r float64) {
	for i := range w.theta {
		w.theta[i] = w.a[i] - r*w.b[i]
	}
	backward(w.h, m.cols, w.theta)
}

// excess is what a touch by hand adds to reading k on average, ohms.
func (w *workspace) excess(k int) float64 {
	return w.touches[k].excess / float64(max(len(w.above[k]), 1))
}

// logPeak is the log of a Gaussian reading's density at its top, 0 where the site
// is out of its sight.
func (w *workspace) logPeak(k int) float64 {
	if w.sd[k] == unreachedSD {
		return 0
	}
	return -math.Log(w.sd[k]) - halfLog2Pi
}

const halfLog2Pi = 0.9189385332046727

// site is the result for one place.
type siteFit struct {
	log     float64 // log likelihood, Rs and θ integrated
	chi2    float64 // smallest misfit
	rs      float64 // the Rs of that misfit, ohms
	sees    bool    // some reading sees Rs
	moments moments
}

// fitDepth is how much of a site's fit is worked out.
type fitDepth uint8

const (
	roughFit fitDepth = iota // Laplace's method in Rs too, no grid
	gridFit                  // the likelihood on the grid
	planFit                  // and the moments of what a further reading would see
)

// fit integrates one site. The nodes of Rs and their shares stay in w.rs and
// w.chance.
func (m *model) fit(s int, w *workspace, skewed bool, how fitDepth) siteFit {
	m.load(s, w)
	prior := priorOf(m.sites[s].Kind)
	var f siteFit
	w.rs, w.wt, w.ll = w.rs[:0], w.wt[:0], w.ll[:0]
	if skewed {
		m.fitSkewed(w, prior, &f, how)
		f.moments.sees = f.sees
		return f
	}
	q := m.gaussianFit(w)
	f.sees = q.c > 0
	f.chi2, f.rs = q.chi2(prior)
	astray := m.outlierGain(w, q, prior, f.rs)
	switch {
	case !f.sees:
		f.log = q.norm - 0.5*q.a
		if how == planFit {
			m.loadPredictive(w)
			m.thetaAt(w, 0)
			f.moments = m.predictiveMoments(w, 0)
		}
	case how == roughFit:
		_, sd := q.mode()
		f.log = q.norm - 0.5*f.chi2 + prior.logMassAround(f.rs, sd)
	default:
		mode, sd := q.mode()
		w.rs, w.wt = prior.nodes(mode, sd, fineStep, w.rs, w.wt)
		f.log = q.norm + w.integrate(q)
		if how == planFit {
			f.moments = m.mixedMoments(w)
		}
	}
	f.log += astray
	f.moments.sees = f.sees
	return f
}

// integrate gives the log of Σ weight·exp(-½(a - 2br + cr²)) over the nodes
// of Rs, and leaves each node's share in w.chance.
func (w *workspace) integrate(q quadratic) float64 {
	n := len(w.rs)
	if cap(w.chance) < n {
		w.chance = make([]float64, n)
	}
	w.chance = w.chance[:n]
	i := w.nearest(q.b / q.c)
	top := q.at(w.rs[i])
	if h := w.rs[1] - w.rs[0]; math.Abs(w.rs[n-1]-w.rs[n-2]-h) < 1e-9*h {
		w.uniformShares(q, i, h)
	} else {
		for k, r := range w.rs {
			w.chance[k] = math.Exp(q.at(r) - top)
		}
	}
	sum := 0.0
	for k, e := range w.chance {
		w.chance[k] = w.wt[k] * e
		sum += w.chance[k]
	}
	for k := range w.chance {
		w.chance[k] /= sum
	}
	return top + math.Log(sum)
}

// at is the exponent at r.
func (q quadratic) at(r float64) float64 { return -0.5 * (q.a - 2*q.b*r + q.c*r*r) }

// nearest is the node nearest to a value.
func (w *workspace) nearest(r float64) int {
	i := sort.SearchFloat64s(w.rs, r)
	if i == len(w.rs) || i > 0 && r-w.rs[i-1] < w.rs[i]-r {
		i--
	}
	return i
}

// uniformShares fills w.chance with the Gaussian over nodes of equal steps h, against
// node i: from node to node the ratio falls by a constant factor.
func (w *workspace) uniformShares(q quadratic, i int, h float64) {
	fall := math.Exp(-q.c * h * h)
	for _, d := range [2]int{1, -1} {
		e := 1.0
		ratio := math.Exp(float64(d)*h*(q.b-q.c*w.rs[i]) - 0.5*q.c*h*h)
		for k := i; k >= 0 && k < len(w.rs); k += d {
			w.chance[k] = e
			e *= ratio
			ratio *= fall
		}
	}
}
