package bench

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"ohmward/internal/answer"
	"ohmward/internal/check"
	"ohmward/internal/engine"
	"ohmward/unit"
)

// sharedOptions are the conventions of the shared values (checks/README.md).
func sharedOptions() engine.Options {
	return engine.Options{
		Cache:     shared,
		Copper:    new(35 * unit.Micrometre),
		Plating:   new(25 * unit.Micrometre),
		Thickness: new(1.6 * unit.Millimetre),
		Temp:      new(unit.Celsius(20)),
		Ties:      "none",
	}
}

func sharedJSON(t *testing.T, name string, into any) {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(check.Shared(t), "checks", name))
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(data, into); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
}

type sharedPlace struct {
	Layer string  `json:"layer"`
	X     float64 `json:"x_mm"`
	Y     float64 `json:"y_mm"`
}

func (p sharedPlace) String() string { return fmt.Sprintf("%s@%g,%g", p.Layer, p.X, p.Y) }

type sharedResistance struct {
	Board string      `json:"board"`
	Net   string      `json:"net"`
	A     sharedPlace `json:"a"`
	B     sharedPlace `json:"b"`
	Ohms  float64     `json:"ohms"`
	Error float64     `json:"rel_error_estimate"`
}

// TestSharedResistances: every resistance of the shared checks, from an
// independent finite-element program, is met within 0.3 %, and lies inside the
// bracket widened by twice the value's own error estimate.
func TestSharedResistances(t *testing.T) {
	check.Claim(t)
	var file struct{ Resistances []sharedResistance }
	sharedJSON(t, "resistances.json", &file)
	byBoard := map[string][]sharedResistance{}
	var boards []string
	for _, r := range file.Resistances {
		if byBoard[r.Board] == nil {
			boards = append(boards, r.Board)
		}
		byBoard[r.Board] = append(byBoard[r.Board], r)
	}
	if len(boards) < 4 {
		t.Fatalf("values for %d boards, want at least 4", len(boards))
	}
	for _, board := range boards {
		t.Run(board, func(t *testing.T) { sharedBoard(t, board, byBoard[board]) })
	}
}

func sharedBoard(t *testing.T, board string, want []sharedResistance) {
	var pairs []answer.Pair
	for _, r := range want {
		pairs = append(pairs, answer.Pair{From: r.A.String(), To: r.B.String()})
	}
	a, err := Resistance(context.Background(), filepath.Join(check.Shared(t), "checks", "boards", board), pairs, sharedOptions())
	if err != nil {
		t.Fatal(err)
	}
	worst, widest := 0.0, 0.0
	for i, r := range want {
		got := a.Results[i]
		name := fmt.Sprintf("%s, %s to %s", r.Net, r.A, r.B)
		if got.Error != "" {
			t.Errorf("%s: %s", name, got.Error)
			continue
		}
		if got.Net != r.Net {
			t.Errorf("%s: found on net %s", name, got.Net)
		}
		off := *got.Ohms/r.Ohms - 1
		worst, widest = math.Max(worst, math.Abs(off)), math.Max(widest, (*got.High-*got.Low)/r.Ohms)
		if !(math.Abs(off) <= 0.003) {
			t.Errorf("%s: %.6g ohm, want %.6g: %+.2f %%", name, *got.Ohms, r.Ohms, 100*off)
		}
		// A nanohm for values of a tenth of a milliohm and less.
		slack := 2*r.Error*r.Ohms + 1e-9
		if r.Ohms < *got.Low-slack || r.Ohms > *got.High+slack {
			t.Errorf("%s: %.7g ohm lies outside %.7g..%.7g", name, r.Ohms, *got.Low, *got.High)
		}
	}
	t.Logf("%d values, worst %.3f %%, widest bracket %.2f %%", len(want), 100*worst, 100*widest)
}

type sharedShort struct {
	ID    string `json:"id"`
	Place string `json:"place"`
	Type  string `json:"type"`
	Truth struct {
		X float64 `json:"x_mm"`
		Y float64 `json:"y_mm"`
	} `json:"truth"`
}

// TestSharedCases: the shorts of the shared checks, placed by another program
// on real boards. The truth lies inside the radius in at least 85 of 100, and
// is among the first three places in at least 65.
func TestSharedCases(t *testing.T) {
	check.Claim(t)
	var file struct{ Cases []sharedShort }
	sharedJSON(t, "shorts.json", &file)
	var table strings.Builder
	fmt.Fprintf(&table, "%-18s %-9s %-9s %8s %8s %5s  %s\n", "case", "place", "kind", "error/mm", "radius", "rank", "verdict")
	cases, inside, ranked, errorsMM := 0, 0, 0, []float64{}
	for _, c := range file.Cases {
		path := filepath.Join(check.Shared(t), "checks", "cases", c.ID+".json")
		if _, err := os.Stat(path); err != nil {
			continue
		}
		cases++
		a, err := Locate(context.Background(), path, "", withStore())
		var doubt *answer.Error
		if err != nil && !(errors.As(err, &doubt) && doubt.Kind == answer.Doubtful) {
			t.Errorf("%s: %v", c.ID, err)
			continue
		}
		off, rank := sharedScore(a, c)
		if off <= a.Best.RadiusMM {
			inside++
		}
		if rank >= 1 && rank <= 3 {
			ranked++
		}
		errorsMM = append(errorsMM, off)
		fmt.Fprintf(&table, "%-18s %-9s %-9s %8.2f %8.2f %5d  %s\n", c.ID, c.Place, c.Type, off, a.Best.RadiusMM, rank, a.Fit.Verdict)
	}
	if cases < 20 {
		t.Fatalf("%d cases, want the 22 of the shared checks", cases)
	}
	slices.Sort(errorsMM)
	t.Logf("%sinside %d of %d, rank 1 to 3 in %d, median error %.2f mm", &table, inside, cases, ranked, errorsMM[len(errorsMM)/2])
	if float64(inside) < 0.85*float64(cases) {
		t.Errorf("the truth lies inside the radius in %d of %d, want 85 %%", inside, cases)
	}
	if float64(ranked) < 0.65*float64(cases) {
		t.Errorf("the truth is among the first three places in %d of %d, want 65 %%", ranked, cases)
	}
}

// samePlace is how near, in millimetres, a listed place must be to count as
// the true one.
const samePlace = 1.0

// sharedScore gives the error of the best place and the rank of the first one
// at the truth, 0 where none is.
func sharedScore(a *answer.Location, c sharedShort) (off float64, rank int) {
	if a.Best == nil {
		return math.Inf(1), 0
	}
	away := func(s answer.Site) float64 { return engine.HypotMM((s.X+s.X2)/2-c.Truth.X, (s.Y+s.Y2)/2-c.Truth.Y) }
	for _, s := range a.Sites {
		if away(s) <= samePlace {
			return away(a.Best.Site), s.Rank
		}
	}
	return away(a.Best.Site), 0
}
