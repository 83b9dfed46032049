package session

import (
	"path/filepath"
	"strings"
	"testing"

	"ohmward/internal/answer"
	"ohmward/internal/bench"
	"ohmward/internal/board"
	"ohmward/internal/check"
	"ohmward/internal/engine"
)

// TestPlainFigures: what a doubt says has units that a person sees.
func TestPlainFigures(t *testing.T) {
	for text, want := range map[string]string{
		"slits below 0.02 mm, as at 106.172,-78.761": "slits below 20 µm, as at 106.2, -78.8",
		"copper@-14.31,-9.27 (3416 mm2, 50 holes)":   "copper@-14.3, -9.3 (3416 mm², 50 holes)",
		"shifted by 0.125,1.500 mm":                  "shifted by 0.1, 1.5 mm",
		"0.00312 mm2 in all":                         "under 0.1 mm² in all",
		"arc's radius is 12.345 mm too small":        "arc's radius is 12.3 mm too small",
		"at 3.4,5.6 mm, 12 of 30 holes":              "at 3.4,5.6 mm, 12 of 30 holes",
		"1.25e+03 mm2":                               "1250 mm²",
	} {
		if got := plainFigures(text); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

// TestDoubtsAdvised: every code has its own advice, and every doubt about the
// shared boards is said plainly with advice of its own.
func TestDoubtsAdvised(t *testing.T) {
	for _, c := range []board.Code{board.Panel, board.NoCopy, board.Hairline, board.DrillUnit, board.Outline, board.NoNames, board.Joined, board.NoDrill} {
		if advices[c] == "" {
			t.Errorf("no advice for %s", c)
		}
	}
	if testing.Short() {
		return // the boards take seconds each
	}
	dirs, err := filepath.Glob(filepath.Join(check.Shared(t), "checks", "boards", "*"))
	if err != nil || len(dirs) == 0 {
		t.Fatal(dirs, err)
	}
	told := map[string]bool{}
	for _, dir := range dirs {
		d, err := LoadBoard(t.Context(), dir, engine.Options{})
		if err != nil {
			t.Fatal(err)
		}
		for _, doubt := range bench.Doubts(d.Board) {
			v := answer.DoubtView{Doubt: doubt}
			says := plainFigures(doubt.What) + " " + adviceFor(v)
			told[adviceFor(v)] = true
			for what, shape := range forbidden {
				if strings.Contains(what, "place") && shape.MatchString(says) || strings.Contains(says, "mm2") {
					t.Errorf("%s: %s in %q", filepath.Base(dir), what, says)
				}
			}
		}
	}
	if len(told) < 4 {
		t.Errorf("only these advices: %v", told)
	}
}
