package bench

import (
	"context"
	"testing"
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
	run := func(seed uint64) (a *PracticeAnswer, four int, before float64) {
		t.Helper()
		a, err := Practice(context.Background(), PracticeOptions{Seed: seed, Auto: true, Meter: handMeter})
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
		if four > mostFourWire {
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
		if before <= stillWideMM || a.Best.RadiusMM > before/2 || !a.InsideRadius {
			t.Errorf("seed %d: %d four-wire readings took %.1f mm to %.1f mm, truth inside: %v", seed, four, before, a.Best.RadiusMM, a.InsideRadius)
		}
	}
	if a, four, _ := run(2); four != 0 || a.Best.RadiusMM > stillWideMM {
		t.Errorf("two-wire readings came within %.1f mm, with %d four-wire ones", a.Best.RadiusMM, four)
	}
}
