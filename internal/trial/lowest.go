package trial

import (
	"cmp"
	"math"
	"slices"

	"ohmward/geom"
	"ohmward/internal/engine"
	"ohmward/internal/locate"
)

// The lowest-reading method: as many two-wire readings at the places spread
// most evenly over both nets; the answer is the midpoint of the pair that read
// least.

// lowestPairs lists pairs of places, one on each net and near each other, each
// next one the farthest from all before it: any number of them from the front
// is spread evenly.
func (t *trial) lowestPairs() [][2]int {
	var all [][2]int
	for a, p := range t.Probes[0] {
		all = append(all, [2]int{a, t.nearestProbe(1, p.At, -1)})
	}
	for b, p := range t.Probes[1] {
		if pair := [2]int{t.nearestProbe(0, p.At, -1), b}; !slices.Contains(all, pair) {
			all = append(all, pair)
		}
	}
	return t.evenly(all, MostReadings)
}

// nearestProbe is the place of group g nearest to a point, but for one.
func (t *trial) nearestProbe(g int, to geom.Point, but int) int {
	best, far := max(but, 0), math.Inf(1)
	for j, p := range t.Probes[g] {
		if d := engine.DistanceMM(p.At, to); j != but && d < far {
			best, far = j, d
		}
	}
	return best
}

// evenly picks n pairs: the one nearest the middle of all, then again and
// again the farthest from those picked.
func (t *trial) evenly(pairs [][2]int, n int) (out [][2]int) {
	var cx, cy float64
	all, x, y := make([]int, len(pairs)), make([]float64, len(pairs)), make([]float64, len(pairs))
	for i, p := range pairs {
		all[i] = i
		x[i], y[i] = t.midOf(p)
		cx, cy = cx+x[i]/float64(len(pairs)), cy+y[i]/float64(len(pairs))
	}
	middle := slices.MinFunc(all, func(i, j int) int {
		return cmp.Compare(math.Hypot(x[i]-cx, y[i]-cy), math.Hypot(x[j]-cx, y[j]-cy))
	})
	apart := func(i, j int) float64 { return math.Hypot(x[i]-x[j], y[i]-y[j]) }
	for _, i := range locate.Farthest(all, []int{middle}, n, apart) {
		out = append(out, pairs[i])
	}
	return out
}

// midOf is the midpoint of a pair in millimetres.
func (t *trial) midOf(p [2]int) (x, y float64) {
	ax, ay := t.Probes[0][p[0]].At.MM()
	bx, by := t.Probes[1][p[1]].At.MM()
	return (ax + bx) / 2, (ay + by) / 2
}

// lowestError is how far the method's answer lies from a fault.
func (t *trial) lowestError(n, readings int) (float64, error) {
	b := t.newBencher(n, 1)
	least, lx, ly := math.Inf(1), 0.0, 0.0
	for i := range readings {
		p := t.pairs[i%len(t.pairs)]
		v, err := b.twoWire(p[0], p[1])
		if err != nil {
			return 0, err
		}
		if v < least {
			least = v
			lx, ly = t.midOf(p)
		}
	}
	x, y := b.fault.Site.Mid()
	return math.Hypot(lx-x, ly-y), nil
}
