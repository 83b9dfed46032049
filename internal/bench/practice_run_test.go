package bench

import (
	"testing"

	"ohmward/internal/answer"
	"ohmward/internal/engine"
)

// A run is its units as each is searched alone, in order, with their sums; the
// medians are of all that have them.
func TestPracticeRun(t *testing.T) {
	if testing.Short() {
		t.Skip("four units: eight seconds: left out of -short")
	}
	o := PracticeOptions{Options: engine.Options{Cache: shared}, Seed: 4}
	var told []uint64
	run, err := PracticeRun(t.Context(), o, 2, func(u answer.PracticeUnit) { told = append(told, u.Seed) })
	if err != nil {
		t.Fatal(err)
	}
	if len(run.Units) != 2 || len(told) != 2 || told[0] != 4 || told[1] != 5 {
		t.Fatalf("%d units, told of %v", len(run.Units), told)
	}
	inside, seconds, readings := 0, 0.0, 0
	for i, u := range run.Units {
		alone := o
		alone.Auto, alone.Seed = true, uint64(4+i)
		a, err := Practice(t.Context(), alone)
		if err != nil {
			t.Fatal(err)
		}
		if u.Seed != alone.Seed || u.Readings != a.Readings || u.Seconds != a.Seconds || u.ErrorMM == nil ||
			*u.ErrorMM != a.ErrorMM || u.InsideRadius != a.InsideRadius || u.Kind != a.Truth.Kind || u.Verdict != a.Verdict {
			t.Errorf("unit %d is %+v, alone %+v", u.Seed, u, a)
		}
		if a.Seconds <= 0 || a.Seconds != run.Units[i].Seconds {
			t.Errorf("unit %d took %g s", u.Seed, a.Seconds)
		}
		if a.InsideRadius {
			inside++
		}
		seconds, readings = seconds+a.Seconds, readings+a.Readings
	}
	if run.Inside != inside || run.Seconds != seconds || run.MedianReadings != float64(readings)/2 {
		t.Errorf("sums %+v", run)
	}
	if median(nil) != 0 || median([]float64{3, 1, 2}) != 2 || median([]float64{4, 1}) != 2.5 {
		t.Error("a median is wrong")
	}
}
