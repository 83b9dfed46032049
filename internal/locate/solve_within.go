package locate

import (
	"math"
	"sort"
)

// What any method could make of a posterior: how much of it one place can
// have within a radius, and the point that lies least off.

// MassWithin gives, for each radius (millimetres, rising), the greatest mass
// that lies within it of any one of the likely places, those with all but a
// thousandth of the mass: no answer that names one of them is within the radius
// of the truth more often. A place's own sample counts along its
// length, the others at their middles; what is elsewhere counts in full, as if
// any answer met it.
func (p *Posterior) MassWithin(radii []float64) []float64 {
	x, y := p.index.x, p.index.y
	order, unknown := p.placed()
	out, bins := make([]float64, len(radii)), make([]float64, len(radii)+1)
	for _, s := range order {
		clear(bins)
		for _, t := range order {
			if t != s {
				bins[sort.SearchFloat64s(radii, math.Hypot(x[t]-x[s], y[t]-y[s]))] += p.P[t]
			}
		}
		sum, half := 0.0, p.Case.Sites[s].Length*1e3/2
		for k, r := range radii {
			sum += bins[k]
			own := p.P[s]
			if r < half {
				own *= r / half
			}
			out[k] = math.Max(out[k], sum+own)
		}
	}
	for k := range out {
		out[k] = math.Min(1, out[k]+unknown)
	}
	return out
}

// Mean is the middle of the listed mass in millimetres: no answer has a lesser
// expected square of its distance from the truth. It need not be a place.
func (p *Posterior) Mean() (x, y float64) {
	order, _ := p.placed()
	all := 0.0
	for _, s := range order {
		all, x, y = all+p.P[s], x+p.P[s]*p.index.x[s], y+p.P[s]*p.index.y[s]
	}
	return x / all, y / all
}

// placed lists the listed samples with all but a thousandth of their mass, and
// gives the mass that is at none of them.
func (p *Posterior) placed() (order []int, unknown float64) {
	order = p.probableSites(p.Case.listed())
	unknown = 1
	for _, s := range order {
		unknown -= p.P[s]
	}
	return order, math.Max(0, unknown)
}
