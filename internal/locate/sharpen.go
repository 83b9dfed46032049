package locate

import (
	"math"
	"slices"
)

const (
	// sharpSites bounds the sites whose coefficients are worked out better, and
	// sharpShare is the share of the chance that they need hold.
	sharpSites = 6
	sharpShare = 0.9
)

// sharpen has the coefficients of the likeliest sites worked out better, and
// weighs those anew, roughly as before. value is each site's log chance, the
// log in it that without the readings.
func (p *Posterior) sharpen(log, value []float64, hand bool) {
	if p.Case.Sharpen == nil || len(p.model.read) == 0 {
		return
	}
	sites := likeliest(value, sharpSites, sharpShare)
	p.Case.Readings = p.Case.Sharpen(p.Case.Readings, sites)
	p.model = newModel(p.Case, p.lay, counts)
	w := p.model.room()
	for _, s := range sites {
		w.warm = false
		p.fits[s] = p.model.fit(s, w, hand, rough)
		value[s] = log[s] + p.fits[s].log
	}
}

// likeliest lists the likeliest sites, at most so many and no more than it takes
// to hold a share of the chance, in their own order.
func likeliest(value []float64, most int, share float64) []int {
	order := make([]int, len(value))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case value[a] > value[b]:
			return -1
		case value[a] < value[b]:
			return 1
		}
		return 0
	})
	total, held, n := logSumExp(value), 0.0, 0
	for n < min(most, len(order)) && held < share {
		held += math.Exp(value[order[n]] - total)
		n++
	}
	return slices.Sorted(slices.Values(order[:n]))
}

// counts tells whether a reading says where the short is.
func counts(_ int, r Reading) bool { return !r.Skip && !r.open() }
