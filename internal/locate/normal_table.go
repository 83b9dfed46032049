package locate

import (
	"math"
	"sync"
)

// A table of log Φ and of the inverse Mills ratio h, with their derivatives
// h and -h(u+h), for cubic interpolation: within 1e-9 of logPhi, and the
// skewed likelihood's inner loop is several times faster for it.
const (
	phiFrom = -24.0
	phiTo   = 8.0
	phiStep = 1.0 / 64
)

type phiNode struct{ log, mills float64 }

// phiTable is filled once.
var phiTable = sync.OnceValue(func() []phiNode {
	n := int((phiTo-phiFrom)/phiStep) + 2
	t := make([]phiNode, n)
	for i := range t {
		t[i].log, t[i].mills = logPhi(phiFrom + float64(i)*phiStep)
	}
	return t
})

// tabulatedLogPhi is logPhi by interpolation.
func tabulatedLogPhi(u float64) (log, mills float64) {
	if u >= phiTo {
		return 0, 0 // below 1e-14
	}
	if !(u > phiFrom) {
		return logPhi(u)
	}
	x := (u - phiFrom) / phiStep
	i := int(x)
	t := x - float64(i)
	table := phiTable()
	a, b := table[i], table[i+1]
	ua := phiFrom + float64(i)*phiStep
	return hermite(t, a.log, b.log, a.mills, b.mills),
		hermite(t, a.mills, b.mills, -a.mills*(ua+a.mills), -b.mills*(ua+phiStep+b.mills))
}

func hermite(t, a, b, da, db float64) float64 {
	d := b - a
	return a + t*(da*phiStep+t*((3*d-(2*da+db)*phiStep)+t*((da+db)*phiStep-2*d)))
}

// cdfTo is where the normal distribution is taken to end: 2e-7 lies beyond.
const cdfTo = 5.25

// cdf is the normal distribution function.
func cdf(u float64) float64 { return 0.5 * math.Erfc(-u/math.Sqrt2) }
