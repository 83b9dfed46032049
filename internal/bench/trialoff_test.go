package bench

import (
	"context"
	"math"
	"path/filepath"
	"testing"

	"ohmward/internal/answer"
	"ohmward/internal/check"
	"ohmward/internal/engine"
	"ohmward/internal/locate"
	"ohmward/internal/trial"
)

// TestOffModel is DESIGN's trial off the model: a unit or a meter that is not
// what the program assumes must not lead to a confident wrong place. One in
// fifty of each kind may; 16 faults of each are counted together, with
// two deviations of a fair count. The demo's ground is everywhere near, so that
// unlisted shorts find no room on it: TestUnlisted tries those.
func TestOffModel(t *testing.T) {
	check.Claim(t)
	const faults, allowed = 16, 0.02
	wrong, all := 0, 0
	for _, name := range answer.OffModels {
		if name == "unlisted" {
			continue
		}
		a, err := Trial(context.Background(), engine.DemoName, trial.Options{Options: withStore(), Nets: []string{"+3V3", "GND"}, Faults: faults, Seed: 2, OffModel: name})
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("%-9s %d of %d confident and wrong, verdicts %v", name, a.Wrong.Count, a.Faults, a.Verdicts)
		wrong, all = wrong+a.Wrong.Count, all+a.Faults
	}
	n := float64(all)
	if most := allowed*n + 2*math.Sqrt(n*allowed*(1-allowed)); float64(wrong) > most {
		t.Errorf("%d of %d answers were confident and wrong, at most %.1f may be", wrong, all, most)
	}
}

// TestUnlisted: shorts at places that are not listed, on a board with room for
// them, are not called at a listed one, and mostly known for what they are.
func TestUnlisted(t *testing.T) {
	check.Claim(t)
	const faults = 24
	a, err := Trial(context.Background(), filepath.Join(check.Shared(t), "checks", "boards", "openrpncalc"),
		trial.Options{Nets: []string{"VDD", "GND"}, Faults: faults, Seed: 2, OffModel: "unlisted"})
	if err != nil {
		t.Fatal(err)
	}
	if a.Unlisted != faults || a.Wrong.Count > 1 || a.Verdicts[locate.Disagree] < faults/2 {
		t.Errorf("%d of %d unlisted, %d confident and wrong, verdicts %v", a.Unlisted, faults, a.Wrong.Count, a.Verdicts)
	}
}
