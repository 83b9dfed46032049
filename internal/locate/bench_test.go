package locate

import (
	"math/rand/v2"
	"testing"
)

// broadCase is 5,000 suspects and five readings, and tables of 300 places on
// each net: the size that the issue names.
func broadCase(m Meter) (Case, Table, Table) {
	n := newSynth(0.018)
	rng := rand.New(rand.NewPCG(5, 3))
	c := Copper{Scale: 0.05, Own: []float64{0.1, 0.1}}
	f := n.draw(rng, c, m)
	cs := Case{Sites: n.sites, Elsewhere: 0.03, Meter: m, Copper: c}
	for range 5 {
		a, b := n.placesA[rng.IntN(len(n.placesA))], n.placesB[rng.IntN(len(n.placesB))]
		cs.Readings = append(cs.Readings, n.read(rng, f, m, a, b))
	}
	n.placesA, n.placesB = nil, nil
	for i := range 300 {
		t := 90 * float64(i) / 300
		s := spot{0, t}
		if t >= 70 {
			s = spot{2, t - 70}
		} else if t >= 50 {
			s = spot{1, t - 50}
		}
		n.placesA = append(n.placesA, s)
		n.placesB = append(n.placesB, [2]float64{2.5 * float64(i%20), 1.5*float64(i/20) - 4})
	}
	a, b := n.tables()
	return cs, a, b
}

// BenchmarkReading is a new reading to a new answer with 5,000 suspects.
func BenchmarkReading(b *testing.B) {
	for _, name := range []string{"bench-6.5-digit", "bench-6.5-digit-hand"} {
		m, _ := Profile(name)
		c, _, _ := broadCase(m)
		c.Lay = NewLay(c.Sites)
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Solve(c); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkPlan is the next reading from 300 by 300 places.
func BenchmarkPlan(b *testing.B) {
	for _, name := range []string{"bench-6.5-digit", "bench-6.5-digit-hand"} {
		m, _ := Profile(name)
		c, ta, tb := broadCase(m)
		for _, k := range []int{0, 5} {
			c := c
			c.Readings = c.Readings[:k]
			p, err := Solve(c)
			if err != nil {
				b.Fatal(err)
			}
			b.Run(name+map[int]string{0: "/before", 5: "/after"}[k], func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					if _, err := p.Next(ta, tb, DefaultHands()); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}
