package locate

import (
	"math"
	"sort"
	"sync"
)

// broadLaw is the distribution of Rs from its prior plus Gaussian noise, in a
// table near zero; far above the noise the prior alone is right.
type broadLaw struct {
	prior rsPrior
	sd    float64
	cdf   []float64 // at -6, -6+lawStep, ... lawEnd deviations
}

const (
	lawStep = 0.25
	lawFrom = -6.0
	lawEnd  = 40.0
)

type lawKey struct {
	prior rsPrior
	sd    int // on a logarithmic scale
}

// laws holds every broadLaw that was needed: a few dozen for each prior and
// decade of noise.
var laws sync.Map

// lawOf gives the table for a deviation, to within 3 % of it.
func lawOf(p rsPrior, sd float64) *broadLaw {
	const perE = 16
	k := lawKey{p, int(math.Round(perE * math.Log(sd)))}
	if l, known := laws.Load(k); known {
		return l.(*broadLaw)
	}
	l := newBroadLaw(p, math.Exp(float64(k.sd)/perE))
	laws.Store(k, l)
	return l
}

func newBroadLaw(p rsPrior, sd float64) *broadLaw {
	const parts = 200 // quantiles of Rs; those below half a deviation act alike
	rs := make([]float64, parts)
	for i := range rs {
		rs[i] = p.quantile((float64(i) + 0.5) / parts)
	}
	l := &broadLaw{prior: p, sd: sd}
	for u := lawFrom; u <= lawEnd; u += lawStep {
		x := u * sd
		sure, above := sort.SearchFloat64s(rs, x-cdfTo*sd), sort.SearchFloat64s(rs, x+cdfTo*sd)
		q := float64(sure)
		for _, r := range rs[sure:above] {
			q += quickCDF((x - r) / sd)
		}
		l.cdf = append(l.cdf, q/parts)
	}
	return l
}

// below is the chance of at most x ohms.
func (l *broadLaw) below(x float64) float64 {
	u := (x/l.sd - lawFrom) / lawStep
	switch {
	case u <= 0:
		return 0
	case u >= float64(len(l.cdf)-1):
		return math.Max(l.cdf[len(l.cdf)-1], l.prior.below(x))
	}
	i := int(u)
	return l.cdf[i] + (u-float64(i))*(l.cdf[i+1]-l.cdf[i])
}
