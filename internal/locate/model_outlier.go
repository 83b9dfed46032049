package locate

import "math"

// A touch goes astray now and then: a tip on the pin beside the one that was
// meant, on flux, or read while the contact of the short itself changed. The
// likelihood of a place allows for one such reading among all: it then lies
// wider than the rest by outlierNoise of its deviation, or outlierSpread of what
// that reading can be over the places, whichever is more. So a place is not
// ruled out by one reading alone, and is not held for sure on as many readings
// as there are unknowns. Common practice, no source; TestConjugate and TestRsGrid hold the sums.
const (
	outlierChance = 0.05
	outlierNoise  = 10.0
	outlierSpread = 0.25
)

// outlierGain is what to add to a site's log likelihood for one reading that went
// astray, where all others are as they should be. To make reading k's variance
// larger by δ changes the misfit by δ·g²/(1+δh) and the determinant by 1+δh,
// with g = (We)_k and h = W_kk for the precision W of the residuals e, copper
// and leads integrated and Rs free (or at the end r of its range).
// w is as gauss left it.
func (m *model) outlierGain(w *workspace, q quadratic, prior rsPrior, r float64) float64 {
	free := q.c > 0 && r > prior.low && r < prior.high
	sum := 1.0
	for k := range m.readings {
		if w.touches[k].base > 0 || w.sd[k] >= unreachedSD {
			continue
		}
		g, own, h := m.alone(w, k)
		g -= r * own
		if free {
			h -= own * own / q.c
		}
		wide := math.Max(outlierNoise*w.sd[k], outlierSpread*m.predictionSD[k])
		d := wide * wide
		if h = math.Max(h, 0); d*h < 1e-6 {
			sum += outlierChance
			continue
		}
		sum += outlierChance * math.Exp(math.Min(0.5*d*g*g/(1+d*h), 600)) / math.Sqrt(1+d*h)
	}
	return math.Log(sum) - float64(len(m.readings))*math.Log1p(outlierChance)
}
