package locate

import (
	"math/rand/v2"
	"testing"
)

// TestWithout: leaving a reading out by what it adds to the misfit is the same
// as never having had it, with Rs seen by several readings, by one and by none,
// clipped and held.
func TestWithout(t *testing.T) {
	n := newSynth(3)
	for _, name := range []string{"bench-6.5-digit", "bench-6.5-digit-hand"} {
		m, _ := Profile(name)
		rng := rand.New(rand.NewPCG(11, 4))
		for across := range 4 {
			c := Case{Sites: n.sites, Elsewhere: 0.03, Meter: m, Copper: Copper{Scale: 0.05, Own: []float64{0.1, 0.1}}}
			for i := range 6 {
				r := n.sense(n.placesA[i], n.placesA[i+3], n.placesA[i+5])
				if i < across {
					r = n.across(n.placesA[i], n.placesB[i])
				}
				r.Ohms = 0.02 + 0.01*rng.Float64()
				c.Readings = append(c.Readings, r)
			}
			lay := NewSiteIndex(n.sites)
			all := func(int, Reading) bool { return true }
			whole := newModel(c, lay, all)
			w := whole.newWorkspace()
			for s := range n.sites {
				whole.load(s, w)
				prior := priorOf(n.sites[s].Kind)
				q := whole.gaussianFit(w)
				for j := range c.Readings {
					got, gotAt := whole.leaveOneOut(w, q, j).chi2(prior)
					less := newModel(c, lay, func(i int, _ Reading) bool { return i != j })
					less.potentialScale = append(append([]float64(nil), whole.potentialScale[:j]...),
						whole.potentialScale[j+1:]...)
					v := less.newWorkspace()
					less.load(s, v)
					want, wantAt := less.gaussianFit(v).chi2(prior)
					near(t, "misfit", got, want, 1e-6*(1+want))
					near(t, "its Rs", gotAt, wantAt, 1e-6*(1+wantAt))
				}
			}
		}
	}
}
