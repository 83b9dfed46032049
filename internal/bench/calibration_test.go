package bench

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"
	"testing"

	"ohmward/internal/answer"
	"ohmward/internal/check"
)

// TestPracticeCalibration: 100 units with a hidden short, each with copper, a
// mesh and a meter of its own. The median error is at most 1 mm, and a radius
// said to hold nine chances in ten holds the truth in 83 to 97 (two and a half
// standard deviations of a fair count are 7.5).
func TestPracticeCalibration(t *testing.T) {
	check.Claim(t)
	const units = 100
	var table strings.Builder
	fmt.Fprintf(&table, "%4s %-8s %8s %8s %6s %8s  %s\n", "seed", "truth", "error/mm", "radius", "mass", "readings", "verdict")
	inside, claimed, variance, offs, reads := 0, 0.0, 0.0, []float64{}, 0
	for seed, a := range practised(t, units) {
		if a.Best == nil {
			t.Fatalf("seed %d: no place found: %s", seed, a.Verdict)
		}
		mass := math.Min(a.Best.RadiusMass, 1)
		claimed, variance = claimed+mass, variance+mass*(1-mass)
		offs, reads = append(offs, a.ErrorMM), reads+a.Readings
		mark := " "
		if a.InsideRadius {
			inside++
		} else {
			mark = "*"
		}
		fmt.Fprintf(&table, "%4d %-8s %8.2f %7.2f%s %6.3f %8d  %s\n", seed, a.Truth.Kind, a.ErrorMM, a.Best.RadiusMM, mark, mass, a.Readings, a.Verdict)
	}
	slices.Sort(offs)
	t.Logf("%smedian error %.2f mm, nine in ten within %.2f mm; inside the radius %d, claimed %.1f; %.1f readings each",
		&table, offs[units/2], offs[units*9/10], inside, claimed, float64(reads)/units)
	if offs[units/2] > 1 {
		t.Errorf("median error %.2f mm, want at most 1 mm", offs[units/2])
	}
	if inside < 83 || inside > 97 {
		t.Errorf("the truth lies inside the radius in %d of %d, want 83 to 97", inside, units)
	}
	// DESIGN, Location: hits and claimed mass differ by at most 2.5 deviations.
	if off := math.Abs(float64(inside) - claimed); off > 2.5*math.Sqrt(variance) {
		t.Errorf("%d hits against %.1f claimed: off by %.1f, allowed %.1f", inside, claimed, off, 2.5*math.Sqrt(variance))
	}
}

// practised runs units on both of two cores: a unit's own work keeps one and a
// half of them busy.
func practised(t *testing.T, units int) []*answer.Practice {
	t.Helper()
	answers, errs := make([]*answer.Practice, units), make([]error, units)
	var workers sync.WaitGroup
	for first := range 2 {
		workers.Go(func() {
			for seed := first; seed < units; seed += 2 {
				o := PracticeOptions{Options: withStore(), Seed: uint64(seed), Auto: true, Meter: "bench-6.5-digit"}
				answers[seed], errs[seed] = Practice(context.Background(), o)
			}
		})
	}
	workers.Wait()
	for seed, err := range errs {
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
	}
	return answers
}
