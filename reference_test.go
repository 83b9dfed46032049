package ohmward_test

import (
	"context"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"

	"ohmward/internal/answer"
	"ohmward/internal/bench"
	"ohmward/unit"
)

// referenceValue is one resistance from another program.
type referenceValue struct {
	From, To string
	Ohms     float64
	Error    float64 `json:"error_ohms"` // of that program, estimated by itself
}

// predictReference gives this program's answers, with the conventions of the
// other program's values.
func predictReference(t *testing.T, values []referenceValue) []answer.Resistor {
	t.Helper()
	var pairs []answer.Pair
	for _, v := range values {
		pairs = append(pairs, answer.Pair{From: v.From, To: v.To})
	}
	board := filepath.Join("testdata", "reference", "board")
	a, err := bench.Resistance(context.Background(), board, pairs, bench.Options{
		Copper:    new(35 * unit.Micrometre),
		Plating:   new(25 * unit.Micrometre),
		Thickness: new(1.6 * unit.Millimetre),
		Temp:      new(unit.Celsius(20)),
		Ties:      "none",
	})
	if err != nil {
		t.Fatal(err)
	}
	return a.Results
}

// Outside check: every resistance of the reference board, from a program of
// general-purpose packages that shares no code (testdata/reference), within
// 0.3 % and in the bracket widened by twice that program's own error.
func TestReferenceResistances(t *testing.T) {
	data, err := os.ReadFile(filepath.Join("testdata", "reference", "resistances.json"))
	if err != nil {
		t.Fatal(err)
	}
	var file struct{ Results []referenceValue }
	if err := json.Unmarshal(data, &file); err != nil {
		t.Fatal(err)
	}
	if len(file.Results) < 26 {
		t.Fatalf("%d values only", len(file.Results))
	}
	if testing.Short() {
		file.Results = file.Results[:20] // the last six lie on the ground planes, which take longest
	}
	worst := 0.0
	for i, got := range predictReference(t, file.Results) {
		want := file.Results[i]
		if got.Error != "" {
			t.Errorf("%s to %s: %s", want.From, want.To, got.Error)
			continue
		}
		if !(want.Error <= 0.0005*want.Ohms) {
			t.Errorf("%s to %s: the value itself is not good to 0.05 %%", want.From, want.To)
		}
		off := *got.Ohms/want.Ohms - 1
		worst = math.Max(worst, math.Abs(off))
		if !(math.Abs(off) <= 0.003) {
			t.Errorf("%s to %s: %.7g ohm, want %.7g: %+.3f %%", want.From, want.To, *got.Ohms, want.Ohms, 100*off)
		}
		if slack := 2 * want.Error; want.Ohms < *got.Low-slack || want.Ohms > *got.High+slack {
			t.Errorf("%s to %s: %.7g ohm lies outside %.7g..%.7g", want.From, want.To, want.Ohms, *got.Low, *got.High)
		}
	}
	t.Logf("%d values, worst %.3f %%", len(file.Results), 100*worst)
}
