package session

import (
	"context"
	"slices"
	"strings"
	"testing"

	"ohmward/internal/answer"
	"ohmward/internal/bench"
	"ohmward/internal/engine"
	"ohmward/internal/record"
	"ohmward/unit"
)

// TestFourWireOffered: with tips held by hand two-wire readings tell a plane's
// places no better than by millimetres. Four-wire ones, which do not feel the
// tips, are advised then, and the place is narrowed down by them; where two-wire
// readings do, none is. The units are those of practice, each with copper of its
// own.
func TestFourWireOffered(t *testing.T) {
	if testing.Short() {
		t.Skip("solves four invented units: left out of -short")
	}
	run := func(seed uint64) (a *answer.Practice, four int, before float64) {
		t.Helper()
		a, err := bench.Practice(context.Background(), bench.PracticeOptions{
			Options: engine.Options{Cache: shared}, Seed: seed, Auto: true, Meter: handHeldMeter})
		if err != nil {
			t.Fatal(err)
		}
		for i, s := range a.Steps {
			if s.Kind != "four-wire" {
				continue
			}
			if four++; four == 1 {
				before = a.Steps[i-1].Best.RadiusMM
			}
			if len(s.Current) != 2 || len(s.Sense) != 2 {
				t.Errorf("seed %d: reading %d has current %v, volts %v", seed, i+1, s.Current, s.Sense)
			}
		}
		if four > engine.MostFourWire {
			t.Errorf("seed %d: %d four-wire readings", seed, four)
		}
		return a, four, before
	}
	for _, seed := range []uint64{6, 13, 15} {
		a, four, before := run(seed)
		if four == 0 {
			t.Errorf("seed %d: within %.1f mm after %d two-wire readings, and no four-wire one advised", seed, a.Best.RadiusMM, a.Readings)
			continue
		}
		if before <= engine.StillWideMM || a.Best.RadiusMM > before/2 || !a.InsideRadius {
			t.Errorf("seed %d: %d four-wire readings took %.1f mm to %.1f mm, truth inside: %v", seed, four, before, a.Best.RadiusMM, a.InsideRadius)
		}
	}
	if a, four, _ := run(2); four != 0 || a.Best.RadiusMM > engine.StillWideMM {
		t.Errorf("two-wire readings came within %.1f mm, with %d four-wire ones", a.Best.RadiusMM, four)
	}
}

// TestFourWireOnThePage: the page says where the clips go and where the tips, and
// names clips among the other places on offer.
func TestFourWireOnThePage(t *testing.T) {
	if testing.Short() {
		t.Skip("solves the demo's ground: left out of -short")
	}
	q, _ := bench.PracticeOf(6, "")
	c := &record.Case{Board: record.Demo, Nets: [2]string{q.Nets[0], q.Nets[1]}, Meter: record.Meter{Profile: handHeldMeter},
		Nulls: []record.Null{{}}, Steps: &record.Steps{Cautions: true, Skipped: true, Asked: []string{"J2", "J3", "J5"}}}
	for _, m := range q.Metal {
		c.Metal = append(c.Metal, record.Metal{Part: m.Part, Net: m.Net})
	}
	for _, r := range []struct {
		from, to string
		ohms     unit.Resistance
	}{{"C33.1", "C33.2", 0.349}, {"C2.1", "U2.2", 0.188}, {"C25.1", "C26.2", 0.316}, {"L1.1", "C3.1", 0.189}} {
		c.Readings = append(c.Readings, record.Reading{From: r.from, To: r.to, Ohms: r.ohms})
	}
	s := newTestShelf(t, t.TempDir())
	id, err := s.begin("by hand", c)
	if err != nil {
		t.Fatal(err)
	}
	v := settled(t, openJob(t, s, id))
	if v.Step != stepRead || v.Target == nil || v.Target.Kind != "four-wire" || v.Target.ClipRed == nil || v.Target.ClipBlk == nil {
		t.Fatalf("at %s, trouble %+v, target %+v", v.Step, v.Trouble, v.Target)
	}
	if !strings.Contains(v.Card.Speak, "Current in at "+v.Target.ClipRed.Words) {
		t.Errorf("spoken: %s", v.Card.Speak)
	}
	seen := map[answer.Other]bool{}
	for i, o := range v.Target.Others {
		if seen[o] {
			t.Errorf("place %d on offer is like another: %+v", i, o)
		}
		seen[o] = true
	}
	if !slices.ContainsFunc(v.Target.Others, func(o answer.Other) bool {
		return strings.HasPrefix(o.From, "volts on ") && strings.HasPrefix(o.To, "clips on ")
	}) {
		t.Errorf("on offer %+v", v.Target.Others)
	}
}
