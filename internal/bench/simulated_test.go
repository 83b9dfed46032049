package bench

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"ohmward/internal/copper"
	"ohmward/internal/practice"
	"ohmward/internal/record"
	"ohmward/internal/suspect"
)

// beyondBead gives the demo's +3V3 and GND with a simulated unit whose short
// lies on +3V3A, which only the bead FB1 joins to +3V3.
func beyondBead(t *testing.T) (*session, *simulated) {
	t.Helper()
	ctx := context.Background()
	p, err := open(ctx, demoName, Options{})
	if err != nil {
		t.Fatal(err)
	}
	s, err := p.newSession(ctx, question{nets: []string{"+3V3", "GND"}, rates: suspect.DefaultRates(), layers: true})
	if err != nil {
		t.Fatal(err)
	}
	far, err := s.nets.ByName("+3V3A")
	if err != nil {
		t.Fatal(err)
	}
	at := slices.IndexFunc(s.sites, func(site suspect.Site) bool {
		return s.nets.Copper(far, site.LayerA).Contains(site.A)
	})
	if at < 0 {
		t.Fatal("no suspect on +3V3A")
	}
	b, rng := s.practiceBench(""), rand.New(rand.NewPCG(1, 2))
	b.Fault, b.Ohms = &s.sites[at], 2e-3
	u, err := practice.NewUnit(ctx, b, rng)
	if err != nil {
		t.Fatal(err)
	}
	return s, newSimulated(s, u, 1, time.Millisecond, rng)
}

// widest gives the widest place of a net.
func (s *session) widest(t *testing.T, net string) copper.Spot {
	t.Helper()
	n, err := s.nets.ByName(net)
	if err != nil {
		t.Fatal(err)
	}
	return s.nets.ProbePlaces(n)[0].Spot
}

// TestBeadOpened: readings of a simulated unit follow a bead that is lifted:
// across the named nets the short is gone, beyond the bead it is there, and
// from one side of the bead to the other nothing conducts. Refitted, all is as
// it was; and what the case records is what the unit is.
func TestBeadOpened(t *testing.T) {
	s, m := beyondBead(t)
	named, beyond, ground := s.widest(t, "+3V3"), s.widest(t, "+3V3A"), s.widest(t, "GND")
	reads := func(from, to copper.Spot) float64 {
		t.Helper()
		if err := m.down(contacts{in: from, out: to, high: from, low: to}); err != nil {
			t.Fatal(err)
		}
		v := Sample{}
		for range settling + reworking + 2 {
			var err error
			if v, err = m.Read(context.Background()); err != nil {
				t.Fatal(err)
			}
		}
		return float64(v.Ohms)
	}
	expect := func(when string, short, farShort, joined bool) {
		t.Helper()
		for _, c := range []struct {
			what     string
			from, to copper.Spot
			low      bool
		}{{"across the named nets", named, ground, short}, {"beyond the bead", beyond, ground, farShort}, {"along the net", named, beyond, joined}} {
			if v := reads(c.from, c.to); isShort(v) != c.low || isShort(v) && v > 5 {
				t.Errorf("%s: %s it reads %g ohms, short: %v", when, c.what, v, c.low)
			}
		}
	}
	c := &record.Case{Steps: &record.Steps{Doing: &record.Doing{Done: "split", Part: "FB1"}}}
	expect("whole", true, true, true)
	m.rework(c, *c.Steps.Doing)
	expect("while the bead is being lifted, and after", false, true, false)
	c.Findings = append(c.Findings, record.Finding{Part: "FB1", Done: "split", Short: "open"})
	c.Steps.Doing = nil
	m.still()
	if err := m.stands(c); err != nil {
		t.Fatal(err)
	}
	expect("lifted", false, true, false)
	c.Findings = append(c.Findings, record.Finding{Part: "FB1", Done: "refitted", Short: "remains"})
	if err := m.stands(c); err != nil {
		t.Fatal(err)
	}
	expect("refitted", true, true, true)
}

// TestClaimMendsNothing: that a short was seen open, where nothing was done
// that could open it, leaves the unit as it is: the proof finds it.
func TestClaimMendsNothing(t *testing.T) {
	s, m := beyondBead(t)
	c := &record.Case{Steps: &record.Steps{}, Findings: []record.Finding{{Part: "C3", Done: "reflowed", Short: "open"}}}
	for m.luck(0) < 0.05 { // by accident
		m.seed++
	}
	if err := m.stands(c); err != nil {
		t.Fatal(err)
	}
	from, to := s.widest(t, "+3V3"), s.widest(t, "GND")
	if err := m.down(contacts{in: from, out: to, high: from, low: to}); err != nil {
		t.Fatal(err)
	}
	for range settling {
		if _, err := m.Read(context.Background()); err != nil {
			t.Fatal(err)
		}
	}
	if v, err := m.Read(context.Background()); err != nil || !isShort(float64(v.Ohms)) {
		t.Errorf("it reads %v, %v", v.Ohms, err)
	}
}
