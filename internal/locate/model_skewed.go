package locate

import (
	"math"
	"slices"
)

// fitSkewed integrates one site when touches are skewed. Given Rs the posterior
// of θ is log-concave: Newton finds its top, and Laplace's method integrates
// around it; a Gaussian reading makes that exact. Rs keeps its grid.
func (m *model) fitSkewed(w *workspace, prior rsPrior, f *siteFit, how fitDepth) {
	f.sees = slices.ContainsFunc(m.readings, Reading.across)
	start := w.startRs // the neighbour's
	copy(w.theta, w.startTheta)
	if !w.warm {
		start = m.gaussianStart(w, prior)
	}
	if !f.sees {
		l := m.newton(w, 0)
		f.log = l
		f.chi2 = m.misfit(w, 0)
		if how == planFit {
			m.loadPredictive(w)
			f.moments = m.predictiveMoments(w, 0)
		}
		return
	}
	mode, sd := m.jointMode(w, start, prior)
	w.warm, w.startRs = how == roughFit, mode
	copy(w.startTheta, w.theta)
	f.rs = math.Min(math.Max(mode, prior.low), prior.high)
	if how == roughFit {
		l := m.newton(w, f.rs)
		f.log = l + prior.logMassAround(f.rs, sd)
		f.chi2 = m.misfit(w, f.rs)
		m.loadPredictive(w)
		f.moments = m.predictiveMoments(w, f.rs)
		f.moments.varOffset = math.Max(f.moments.varOffset, sd*sd) // which has all of Rs's
		return
	}
	w.rs, w.wt = prior.nodes(mode, sd, coarseStep, w.rs, w.wt)
	if how == planFit {
		m.loadPredictive(w)
	}
	m.newton(w, f.rs)
	f.chi2 = m.misfit(w, f.rs)
	w.nodes = w.nodes[:0]
	for i, r := range w.rs {
		w.extrapolate(i)
		l := m.newton(w, r)
		w.ll = append(w.ll, math.Log(w.wt[i])+l)
		if how == planFit {
			w.nodes = append(w.nodes, m.predictiveMoments(w, r))
		}
	}
	f.log = logSumExp(w.ll)
	w.chance = w.chance[:0]
	for _, l := range w.ll {
		w.chance = append(w.chance, math.Exp(l-f.log))
	}
	f.moments = mix(w.nodes, w.chance)
}

// gaussianStart leaves θ where Gaussian noise would have the top, and gives its Rs.
func (m *model) gaussianStart(w *workspace, prior rsPrior) (r float64) {
	if q := m.gaussianFit(w); q.c > 0 {
		r, _ = q.mode()
		r = math.Min(math.Max(r, prior.low), prior.high)
	}
	m.thetaAt(w, r)
	return r
}

// extrapolate moves θ to where two nodes of Rs say that the top at node i lies.
func (w *workspace) extrapolate(i int) {
	if i >= 2 && w.rs[i-1] > w.rs[i-2] {
		t := (w.rs[i] - w.rs[i-1]) / (w.rs[i-1] - w.rs[i-2])
		for k, at := range w.theta {
			w.theta[k] += t * (at - w.startTheta[k])
			w.startTheta[k] = at
		}
		return
	}
	copy(w.startTheta, w.theta)
}

// misfit is the sum of squared normal scores at the current θ, with θ's own.
func (m *model) misfit(w *workspace, r float64) float64 {
	x := dot(w.theta, w.theta)
	for k := range m.readings {
		e := m.residual(w, k, r)
		if t := w.touches[k]; t.base > 0 {
			z := t.tabulatedScore(e)
			x += z * z
		} else {
			x += e * e / (w.sd[k] * w.sd[k])
		}
	}
	return x
}

func (m *model) residual(w *workspace, k int, r float64) float64 {
	n := m.cols
	return m.readings[k].Ohms - w.c[k] - m.readings[k].D*r - dot(w.u[k*n:(k+1)*n], w.theta)
}

// noise gives log density and its derivatives for reading k at residual e.
func (w *workspace) noise(k int, e float64) (f, f1, f2 float64) {
	if t := w.touches[k]; t.base > 0 {
		if w.above[k] == nil {
			return t.logf(e)
		}
		for _, d := range w.above[k] {
			a, b, c := t.logf(e + d)
			f, f1, f2 = f+a, f1+b, f2+c
		}
		return f, f1, f2
	}
	p := 1 / (w.sd[k] * w.sd[k])
	return w.logPeak(k) - 0.5*p*e*e, -p * e, -p
}

// objective is the log of the joint density at w.theta and r; each reading's
// derivatives stay in w.f1 and w.f2.
func (m *model) objective(w *workspace, r float64) (sum float64) {
	sum = -0.5 * dot(w.theta, w.theta)
	for k := range m.readings {
		var f float64
		f, w.f1[k], w.f2[k] = w.noise(k, m.residual(w, k, r))
		sum += f
	}
	return sum
}

const (
	newtonSteps = 40
	newtonEnd   = 1e-4 // gain in log density at which the top is reached
)

// newton climbs to the top in θ at fixed r and gives Laplace's integral; the
// factor of the Hessian stays in w.h.
func (m *model) newton(w *workspace, r float64) (log float64) {
	n := m.cols
	at := m.objective(w, r)
	var logDet float64
	for range newtonSteps {
		g := w.a
		m.curvature(w, g, w.h, n)
		var ok bool
		if logDet, ok = cholesky(w.h, n); !ok {
			panic("locate: log-concave density with a negative curvature")
		}
		step := w.b
		copy(step, g)
		forward(w.h, n, step)
		gain := 0.5 * dot(step, step)
		if gain < newtonEnd {
			at += gain // where the next step would lead, but for its cube
			break
		}
		backward(w.h, n, step)
		_, at = m.lineSearch(w, step, r, 0, at)
	}
	return at - 0.5*logDet
}

// curvature fills h, of that many columns, with I + Σ -f”·u·uᵀ and g with the
// gradient in θ, where objective was last asked for.
func (m *model) curvature(w *workspace, g, h []float64, wide int) {
	n := m.cols
	clear(h)
	for i := range n {
		h[i*wide+i] = 1
		g[i] = -w.theta[i]
	}
	for k := range m.readings {
		f1, f2 := w.f1[k], w.f2[k]
		row := w.u[k*n : (k+1)*n]
		for i, ui := range row {
			if ui == 0 {
				continue
			}
			g[i] -= f1 * ui
			for j := range i + 1 {
				h[i*wide+j] -= f2 * ui * row[j]
			}
		}
	}
}

// lineSearch takes a step in θ and in r, halved until it gains, and gives the new
// r and the new value.
func (m *model) lineSearch(w *workspace, step []float64, r, stepR, at float64) (newR, value float64) {
	t := 1.0
	for i := range step {
		w.theta[i] += step[i]
	}
	for range 30 {
		if v := m.objective(w, r+t*stepR); v >= at {
			return r + t*stepR, v
		}
		for i := range step {
			w.theta[i] -= step[i] * t / 2
		}
		t /= 2
	}
	return r + t*stepR, m.objective(w, r+t*stepR)
}

// jointMode climbs in θ and r together, for where to put the nodes of Rs: the
// likelihood's top in r and its width there.
func (m *model) jointMode(w *workspace, r float64, prior rsPrior) (mode, sd float64) {
	n := m.cols
	big := n + 1
	at := m.objective(w, r)
	var width float64
	for range newtonSteps {
		g := w.a
		h := w.joint
		m.curvature(w, g, h, big)
		gr, floor := m.rsCurvature(w)
		h[n*big+n] += floor
		if _, ok := cholesky(h, big); !ok {
			break
		}
		width = 1 / h[n*big+n]
		step := w.scratch[:big]
		copy(step, g)
		step[n] = gr
		forward(h, big, step)
		if 0.5*dot(step, step) < 1e-6 {
			break
		}
		backward(h, big, step)
		r, at = m.lineSearch(w, step[:n], r, step[n], at)
	}
	return r, width
}

// rsCurvature fills the last row of w.joint, that of r, and gives the gradient in
// r and a little curvature that keeps the step finite where all readings lie
// on the straight part of their tails.
func (m *model) rsCurvature(w *workspace) (g, floor float64) {
	n := m.cols
	last := w.joint[n*(n+1):]
	clear(last)
	for k, rd := range m.readings {
		f1, f2 := w.f1[k], w.f2[k]
		g -= f1 * rd.D
		last[n] -= f2 * rd.D * rd.D
		floor += 0.02 * rd.D * rd.D / (w.sd[k] * w.sd[k])
		for j, uj := range w.u[k*n : (k+1)*n] {
			last[j] -= f2 * rd.D * uj
		}
	}
	return g, floor
}
