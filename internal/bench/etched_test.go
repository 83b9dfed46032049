package bench

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"ohmward/internal/answer"
	"ohmward/internal/check"
	"ohmward/internal/engine"
	"ohmward/unit"
)

// straightBoard has four layers, on each a straight track of a width in
// millimetres from x = 2 to x = 52, at y = 2, 4, 6 and 8.
func straightBoard(t *testing.T, width float64) string {
	t.Helper()
	dir := t.TempDir()
	for i, side := range []string{"Top", "Inr", "Inr", "Bot"} {
		y := 2 * float64(i+1)
		text := fmt.Sprintf("%%FSLAX46Y46*%%\n%%MOMM*%%\n%%TF.FileFunction,Copper,L%d,%s*%%\nG01*\n%%TA.AperFunction,Conductor*%%\n%%ADD10C,%.3f*%%\n%%TD*%%\n"+
			"%%TO.N,T%d*%%\nD10*\n%sD02*\n%sD01*\nM02*\n", i+1, side, width, i+1, at(2, y), at(52, y))
		if err := os.WriteFile(filepath.Join(dir, fmt.Sprintf("l%d.gbr", i+1)), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.WriteFile(filepath.Join(dir, "none.drl"), []byte("M48\nMETRIC\n%\nM30\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	return dir
}

// TestCurrentStraightTrack: a track of 0.15 mm in 35 um copper by the bar
// formula, and the current that warms it by 2 K: about 0.30 A outside and
// 0.15 A inside (BENCH.md, "Injecting current").
func TestCurrentStraightTrack(t *testing.T) {
	dir := straightBoard(t, 0.15)
	for layer, want := range []float64{0.30, 0.15, 0.15, 0.30} {
		y := 2 * (layer + 1)
		a, err := Current(context.Background(), dir, CurrentOptions{Amps: 0.1, ShortOhms: 0.002,
			From: fmt.Sprintf("L%d@5,%d", layer+1, y), To: fmt.Sprintf("L%d@45,%d", layer+1, y)}, withStore())
		if err != nil {
			t.Fatal(err)
		}
		// The discs are wider than the track: the current starts at their rims.
		length := 40 - 2*math.Sqrt(0.15*0.15-0.075*0.075)
		ohms := trackSheet * length / 0.15
		check.Approx(t, a.Ohms, ohms, check.Tol{Rel: 3e-3}, "ohms")
		check.Approx(t, a.Drop, 0.1*ohms, check.Tol{Rel: 3e-3}, "drop")
		check.Approx(t, a.Watts, 0.01*ohms, check.Tol{Rel: 3e-3}, "watts")
		check.Approx(t, a.Hottest.Width, 0.15, check.Tol{Rel: 0.02}, "width")
		check.Approx(t, a.Hottest.Density, 0.1/0.15, check.Tol{Rel: 0.02}, "density")
		check.Approx(t, a.Safe.MostAmps, want, check.Tol{Rel: 0.03}, "BENCH.md's limit")
		if name := fmt.Sprintf("L%d", layer+1); a.Hottest.Layer != name || a.Hottest.Kind != "track" {
			t.Errorf("hottest is a %s on %s, want the track on %s", a.Hottest.Kind, a.Hottest.Layer, name)
		}
	}
}

// TestEtchedAway: copper that etching leaves nothing of is a doubt in one line,
// what was cut off has no answer, and what is left is solved.
func TestEtchedAway(t *testing.T) {
	for _, um := range []float64{74, 76, 100} {
		o := engine.Options{Cache: shared, Etch: new(unit.Length(um) * unit.Micrometre)}
		b, err := Board(context.Background(), straightBoard(t, 0.15), nil, o)
		said := 0
		if b != nil {
			for _, d := range b.Doubts {
				if strings.Contains(d.What, "etched off every edge") {
					said++
					if strings.Contains(d.What, "\n") || !strings.Contains(d.What, "1 piece is gone (at 1.925,") {
						t.Errorf("%g um: %s", um, d.What)
					}
				}
			}
		}
		if want := map[bool]int{true: 4, false: 0}[um > 75]; said != want || err != nil {
			t.Errorf("%g um: %d doubts, want %d; %v", um, said, want, err)
		}
	}
	for _, um := range []float64{60, 100} {
		o := engine.Options{Cache: shared, Etch: new(unit.Length(um) * unit.Micrometre)}
		a, err := Resistance(context.Background(), engine.DemoName, []answer.Pair{{From: "C3.2", To: "C25.1"}}, o)
		var e *answer.Error
		if err != nil && !errors.As(err, &e) {
			t.Errorf("demo, %g um: %v", um, err)
		}
		if a == nil {
			t.Errorf("demo, %g um: no answer", um)
			continue
		}
		r := a.Results[0]
		if solved := r.Ohms != nil && *r.Ohms > 0; (len(a.Doubts) > 0) != (um > 75) || solved == (r.Error != "") {
			t.Errorf("demo, %g um: %d doubts, %+v", um, len(a.Doubts), r)
		}
	}
}
