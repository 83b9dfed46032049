package locate

import (
	"math/rand/v2"
	"slices"
	"testing"
)

// TestSame: a case is the same as its copy, and another one as soon as
// anything in it that bears on the answer differs.
func TestSame(t *testing.T) {
	m, _ := Profile("bench-6.5-digit-hand")
	n := newSynth(0.5)
	rng := rand.New(rand.NewPCG(8, 3))
	made := func() Case {
		c := Case{Sites: n.sites, Elsewhere: 0.03, Meter: m, Copper: Copper{Scale: 0.05,
			Own: []float64{0.1, 0.1}}, Findings: []Finding{{Done: "cleaned", Part: "C7", Short: "remains"}}}
		for i := range 3 {
			c.Readings = append(c.Readings, n.across(n.placesA[i], n.placesB[i]))
			c.Readings[i].Ohms = 0.02
		}
		return c
	}
	lay := NewSiteIndex(n.sites)
	base := made()
	base.Index = lay
	for name, change := range map[string]func(*Case){
		"":             func(*Case) {},
		"a value":      func(c *Case) { c.Readings[1].Ohms += 1e-9 },
		"a touch":      func(c *Case) { c.Readings[1].Touches = []float64{0.02, 0.021} },
		"a row":        func(c *Case) { c.Readings[2].C[1][rng.IntN(len(n.sites))] += 1e-9 },
		"one more":     func(c *Case) { c.Readings = append(c.Readings, c.Readings[0]) },
		"one less":     func(c *Case) { c.Readings = slices.Delete(c.Readings, 0, 1) },
		"the meter":    func(c *Case) { c.Meter.HandHeld = false },
		"the copper":   func(c *Case) { c.Copper.Own[1] = 0.2 },
		"a finding":    func(c *Case) { c.Findings[0].Short = "cleared" },
		"the places":   func(c *Case) { c.Index = NewSiteIndex(n.sites) },
		"elsewhere":    func(c *Case) { c.Elsewhere = 0.04 },
		"left out":     func(c *Case) { c.Readings[0].Skip = true },
		"how far open": func(c *Case) { c.Findings[0].Disconnected = make([]bool, len(n.sites)) },
	} {
		c := made()
		c.Index = lay
		change(&c)
		if got := base.Equal(c); got != (name == "") {
			t.Errorf("with %q changed: the same: %v", name, got)
		}
	}
}
