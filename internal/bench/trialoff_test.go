package bench

import (
	"context"
	"math"
	"testing"
)

// TestOffModel is DESIGN's trial off the model: a unit or a meter that is not
// what the program assumes must not lead to a confident wrong place. The issue
// allows one in fifty of each kind; 30 faults of each of six kinds are counted
// together, with two deviations of a fair count.
func TestOffModel(t *testing.T) {
	if testing.Short() {
		t.Skip("searches 180 faults: left out of -short")
	}
	const faults, allowed = 30, 0.02
	wrong, all := 0, 0
	for _, name := range OffModels {
		a, err := Trial(context.Background(), demoName, TrialOptions{Nets: []string{"+3V3", "GND"}, Faults: faults, Seed: 2, OffModel: name})
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("%-9s %d of %d confident and wrong, verdicts %v", name, a.Wrong.Count, a.Faults, a.Verdicts)
		wrong, all = wrong+a.Wrong.Count, all+a.Faults
		if name == "unlisted" && a.Unlisted != a.Faults {
			t.Errorf("%d of %d faults lie at no listed place", a.Unlisted, a.Faults)
		}
	}
	n := float64(all)
	if most := allowed*n + 2*math.Sqrt(n*allowed*(1-allowed)); float64(wrong) > most {
		t.Errorf("%d of %d answers were confident and wrong, at most %.1f may be", wrong, all, most)
	}
}
