package locate

import (
	"math"
	"sort"
	"sync"
)

// broadDistribution is the distribution of Rs from its prior plus Gaussian noise, in a
// table near zero; far above the noise the prior alone is right.
type broadDistribution struct {
	prior rsPrior
	sd    float64
	cdf   []float64 // at -6, -6+broadStep, ... broadEnd deviations
}

const (
	broadStep = 0.25
	broadFrom = -6.0
	broadEnd  = 40.0
)

type broadKey struct {
	prior rsPrior
	sd    int // on a logarithmic scale
}

// broadDistributions holds every broadDistribution that was needed: a few dozen for each prior and
// decade of noise.
var broadDistributions sync.Map

// broadDistributionOf gives the table for a deviation, to within 3 % of it.
func broadDistributionOf(p rsPrior, sd float64) *broadDistribution {
	const perE = 16
	k := broadKey{p, int(math.Round(perE * math.Log(sd)))}
	if l, known := broadDistributions.Load(k); known {
		return l.(*broadDistribution)
	}
	l := newBroadDistribution(p, math.Exp(float64(k.sd)/perE))
	broadDistributions.Store(k, l)
	return l
}

func newBroadDistribution(p rsPrior, sd float64) *broadDistribution {
	const parts = 200 // quantiles of Rs; those below half a deviation act alike
	rs := make([]float64, parts)
	for i := range rs {
		rs[i] = p.quantile((float64(i) + 0.5) / parts)
	}
	l := &broadDistribution{prior: p, sd: sd}
	for u := broadFrom; u <= broadEnd; u += broadStep {
		x := u * sd
		sure, above := sort.SearchFloat64s(rs, x-cdfTo*sd), sort.SearchFloat64s(rs, x+cdfTo*sd)
		q := float64(sure)
		for _, r := range rs[sure:above] {
			q += cdf((x - r) / sd)
		}
		l.cdf = append(l.cdf, q/parts)
	}
	return l
}

// cdfAt is the chance of at most x ohms.
func (l *broadDistribution) cdfAt(x float64) float64 {
	u := (x/l.sd - broadFrom) / broadStep
	switch {
	case u <= 0:
		return 0
	case u >= float64(len(l.cdf)-1):
		return math.Max(l.cdf[len(l.cdf)-1], l.prior.cdf(x))
	}
	i := int(u)
	return l.cdf[i] + (u-float64(i))*(l.cdf[i+1]-l.cdf[i])
}
