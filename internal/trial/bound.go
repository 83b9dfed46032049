package trial

import (
	"math"

	"ohmward/internal/answer"
)

// The bound. Let m(r, y) be the greatest posterior mass within r of any place
// after readings y. An answer within r of the truth has at most that chance, so
// that over all readings no method is within r more often than the mean of
// m(r, y). The smallest r at which this mean reaches one half bounds the median
// error, and at 0.9 the ninth decile. Of the r.m.s. error the posterior mean's
// risk is the bound, its mean square distance from the truth. Both by Monte
// Carlo: the mean is over the trial's own faults and readings, which come from
// the true model and its prior; off the model there is no bound.

// boundRadii are the radii at which the mass is taken, in millimetres: 0, then
// 0.01 to 300 in steps of 7 %.
var boundRadii = func() []float64 {
	out := []float64{0}
	for r := 0.01; r < 300; r *= 1.07 {
		out = append(out, r)
	}
	return out
}()

// boundOf sums the bound over all faults.
func (t *trial) boundOf(runs []Search) answer.Bound {
	b := answer.Bound{Readings: t.leastReadings(runs)}
	if t.options.OffModel != "" || len(runs) == 0 {
		return b
	}
	mean, risk := make([]float64, len(boundRadii)), 0.0
	var off []float64
	for _, r := range runs {
		for k, m := range r.within {
			mean[k] += m / float64(len(runs))
		}
		risk += r.meanOff * r.meanOff / float64(len(runs))
		off = append(off, r.Off)
	}
	b.Error = answer.Spread{Median: radiusOf(mean, 0.5), P90: radiusOf(mean, 0.9)}
	b.RMS, b.Faults, b.There = math.Sqrt(risk), len(runs), spreadOf(off)
	return b
}

// radiusOf is the smallest radius at which a mass over boundRadii reaches a
// share, between two radii in proportion.
func radiusOf(mass []float64, share float64) float64 {
	for k, m := range mass {
		if m < share {
			continue
		}
		if k == 0 {
			return 0
		}
		low := boundRadii[k-1]
		return low + (boundRadii[k]-low)*(share-mass[k-1])/(m-mass[k-1])
	}
	return boundRadii[len(boundRadii)-1]
}

// rmsOf is the root of the mean square error.
func rmsOf(runs []Search) float64 {
	sum := 0.0
	for _, r := range runs {
		sum += r.Off * r.Off / float64(len(runs))
	}
	return math.Sqrt(sum)
}
