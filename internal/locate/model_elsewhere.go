package locate

import "math"

// The broad likelihood of a place that is not listed. Such a place still lies
// on the same copper, so its readings hang together much as those of listed
// places do: they are taken as Gaussian with the mean and covariance of the
// listed predictions, the spread widened, mostly by elsewhereWide and
// sometimes by elsewhereFarthest. Copper scale, residue, Rs and noise are as for a
// listed place. It is tens of nats below a listed place that fits, and wins
// where none does.
const (
	elsewhereWide     = 2.0
	elsewhereFarthest = 10.0
	farthestShare     = 0.2
	looseness         = 0.1 // of each prediction, by itself
)

// elsewhere gives the log likelihood of a place not listed.
func (m *model) elsewhere(weight []float64) float64 {
	k := len(m.readings)
	if k == 0 {
		return 0
	}
	mean, cov := m.spread(weight)
	near := m.broad(mean, cov, elsewhereWide)
	far := m.broad(mean, cov, elsewhereFarthest)
	return logSumExp([]float64{math.Log(1-farthestShare) + near, math.Log(farthestShare) + far})
}

// spread is the mean and covariance of the predictions over the places.
func (m *model) spread(weight []float64) (mean, cov []float64) {
	k := len(m.readings)
	mean, cov = make([]float64, k), make([]float64, k*k)
	total := 0.0
	d := make([]float64, k)
	for s, p := range weight {
		if p == 0 || m.unreachedAt(s) > 0 {
			continue
		}
		total += p
		for i := range m.readings {
			d[i] = at(m.total[i], s) - mean[i]
		}
		for i := range k {
			for j := range i + 1 {
				cov[i*k+j] += p * (1 - p/total) * d[i] * d[j]
			}
		}
		for i := range k {
			mean[i] += p / total * d[i]
		}
	}
	for i := range cov {
		if total > 0 {
			cov[i] /= total
		}
	}
	return mean, cov
}

// broad is the log likelihood with the spread widened by the factor.
func (m *model) broad(mean, cov []float64, wide float64) float64 {
	k := len(m.readings)
	v := make([]float64, k*k)
	e, d := make([]float64, k), make([]float64, k)
	for i, r := range m.readings {
		sd := m.meter.sigma(r)
		e[i], d[i] = r.Ohms-mean[i], r.D
		if m.meter.skewed(r) {
			e[i] -= newTouch(sd).excess
		}
		for j := range i + 1 {
			q := m.readings[j]
			v[i*k+j] = wide*wide*cov[i*k+j] + m.copper.Scale*m.copper.Scale*mean[i]*mean[j]
			if !r.FourWire && !q.FourWire && r.Null == q.Null {
				v[i*k+j] += m.meter.NullOhms * m.meter.NullOhms
			}
		}
		v[i*k+i] += sd * sd
		if !r.SameNet {
			v[i*k+i] += looseness * looseness * mean[i] * mean[i]
		}
		for l := range r.C {
			own := m.copper.own(l) * at(r.C[l], m.typical)
			v[i*k+i] += own * own
		}
	}
	logDet, ok := cholesky(v, k)
	if !ok {
		return math.Inf(-1)
	}
	forward(v, k, e)
	forward(v, k, d)
	q := quadratic{a: dot(e, e), b: dot(d, e), c: dot(d, d),
		norm: -0.5*logDet - 0.5*float64(k)*math.Log(2*math.Pi)}
	if q.c == 0 {
		return q.norm - 0.5*q.a
	}
	mode, sd := q.mode()
	var w workspace
	w.rs, w.wt = bridgePrior.nodes(mode, sd, fineStep, nil, nil)
	return q.norm + w.integrate(q)
}
