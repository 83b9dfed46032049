package locate

import (
	"math/rand/v2"
	"slices"
	"testing"

	"ohmward/internal/check"
	"ohmward/internal/suspect"
)

// broadCase is 5,000 suspects and five readings, and tables of 300 places on
// each net: as large as planning is meant to serve.
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

// onProcessors reports processor time per turn, which other work on the
// machine changes little.
func onProcessors(b *testing.B) (done func()) {
	start := check.ProcessorTime()
	return func() {
		b.ReportMetric(float64((check.ProcessorTime()-start).Microseconds())/1e3/float64(b.N), "cpu-ms/op")
	}
}

// BenchmarkReading is a new reading to a new answer with 5,000 suspects.
func BenchmarkReading(b *testing.B) {
	for _, name := range []string{"bench-6.5-digit", "bench-6.5-digit-hand"} {
		m, _ := Profile(name)
		c, _, _ := broadCase(m)
		c.Index = NewSiteIndex(c.Sites)
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			defer onProcessors(b)()
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
		for net, t := range map[string]*Table{"A": &ta, "B": &tb} { // as a session keeps them
			var err error
			if *t, err = t.Prepare(net, len(c.Sites)); err != nil {
				b.Fatal(err)
			}
		}
		for _, k := range []int{0, 5} {
			c := c
			c.Readings = c.Readings[:k]
			p, err := Solve(c)
			if err != nil {
				b.Fatal(err)
			}
			b.Run(name+map[int]string{0: "/before", 5: "/after"}[k], func(b *testing.B) {
				b.ReportAllocs()
				defer onProcessors(b)()
				for b.Loop() {
					if _, err := p.Next(ta, tb, DefaultMoveCosts()); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}

// TestOrderOfSites: the order in which sites are listed, which decides from
// what neighbour a held reading's sums start, does not change the answer.
func TestOrderOfSites(t *testing.T) {
	hand, _ := Profile("bench-6.5-digit-hand")
	n := newSynth(0.3)
	rng := rand.New(rand.NewPCG(7, 31))
	c := Copper{Scale: 0.05, Own: []float64{0.1, 0.1}}
	f := n.draw(rng, c, hand)
	cs := Case{Sites: n.sites, Elsewhere: 0.03, Meter: hand, Copper: c}
	for range 4 {
		cs.Readings = append(cs.Readings, n.read(rng, f, hand, n.placesA[rng.IntN(len(n.placesA))],
			n.placesB[rng.IntN(len(n.placesB))]))
	}
	p, err := Solve(cs)
	if err != nil {
		t.Fatal(err)
	}
	order := rng.Perm(len(n.sites))
	shuffled := cs
	shuffled.Sites, shuffled.Readings = make([]suspect.Site, len(order)), slices.Clone(cs.Readings)
	for i, s := range order {
		shuffled.Sites[i] = cs.Sites[s]
	}
	for k := range shuffled.Readings {
		r := &shuffled.Readings[k]
		r.C = slices.Clone(r.C)
		for l, row := range r.C {
			r.C[l] = make([]float64, len(order))
			for i, s := range order {
				r.C[l][i] = row[s]
			}
		}
	}
	q, err := Solve(shuffled)
	if err != nil {
		t.Fatal(err)
	}
	for i, s := range order {
		near(t, "probability", q.P[i], p.P[s], 1e-9+2e-3*p.P[s])
	}
}

// TestLightGroups: once a reading has seen Rs, places too light for moments of
// their own are planned for with an Rs that is known as well.
func TestLightGroups(t *testing.T) {
	m, _ := Profile("bench-6.5-digit")
	c, _, _ := broadCase(m)
	c.Readings = c.Readings[:1]
	c.Sites[2500].Prior *= 2e4 // the others are light, and many
	p, err := Solve(c)
	if err != nil {
		t.Fatal(err)
	}
	light := 0
	for _, g := range p.groupSites() {
		if !g.mo.sees {
			t.Errorf("group at site %d is planned for as if Rs had not been seen", g.lead)
		}
		if p.plan[g.lead].kappa == 0 {
			light++
		}
	}
	if light == 0 {
		t.Error("no group is light")
	}
}
