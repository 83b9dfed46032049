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
	"ohmward/internal/conduct"
	"ohmward/internal/engine"
	"ohmward/unit"
)

func currentOn(t *testing.T, c CurrentOptions) *answer.Current {
	t.Helper()
	a, err := Current(context.Background(), engine.DemoName, c, withStore())
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// TestCurrentDemo: the shares add up to what the command resistance answers,
// everything scales with the current as it must, and the weakest track is one
// of the demo's 0.2 mm necks at the fit's limit for it.
func TestCurrentDemo(t *testing.T) {
	ask := CurrentOptions{From: "C3.2", To: "C25.1", Amps: 0.5, ShortOhms: 0.002}
	a := currentOn(t, ask)
	r, err := Resistance(context.Background(), engine.DemoName, []answer.Pair{{From: ask.From, To: ask.To}}, withStore())
	if err != nil {
		t.Fatal(err)
	}
	closeTo := func(what string, got, want, relative float64) {
		t.Helper()
		if math.Abs(got-want) > relative*math.Abs(want) {
			t.Errorf("%s: got %g, want %g", what, got, want)
		}
	}
	closeTo("ohms", a.Ohms, *r.Results[0].Ohms, 1e-6)
	var ohms, fraction, watts, drop float64
	for _, s := range a.Shares {
		ohms, fraction, watts, drop = ohms+s.Ohms, fraction+s.Fraction, watts+s.Watts, drop+s.Drop
	}
	closeTo("sum of ohms", ohms, a.Ohms, 1e-9)
	closeTo("sum of fractions", fraction, 1, 1e-9)
	closeTo("sum of watts", watts, 0.25*a.Ohms, 1e-9)
	closeTo("sum of drops", drop, 0.5*a.Ohms, 1e-9)
	h := a.Hottest
	if h.Kind != "track" || h.Net != "+3V3" || math.Abs(h.Width-0.2) > 0.02 {
		t.Errorf("hottest is %+v, not a neck of 0.2 mm", h)
	}
	closeTo("density", h.Density, h.Amps/h.Width, 1e-9)
	closeTo("limit", h.Limit, float64(conduct.TrackCurrent(h.Width*1e-3*35e-6, 2, true)), 1e-9)
	closeTo("limit in all", a.Safe.MostAmps, 0.5*h.Limit/h.Amps, 1e-9)
	closeTo("rise", h.Rise, 2*math.Pow(0.5/a.Safe.MostAmps, 1/0.44), 1e-9)
	if a.Safe.Within || !strings.Contains(a.Safe.Note, "too much") {
		t.Errorf("half an ampere is within %g A: %s", a.Safe.MostAmps, a.Safe.Note)
	}
	ask.Amps = 0.1
	b := currentOn(t, ask)
	closeTo("watts at a fifth", b.Watts, a.Watts/25, 1e-9)
	closeTo("density at a fifth", b.Hottest.Density, a.Hottest.Density/5, 1e-9)
	if !b.Safe.Within || b.Safe.MostAmps != a.Safe.MostAmps {
		t.Errorf("what is safe depends on what is asked: %+v", b.Safe)
	}
}

// TestCurrentSteps: 10 mA, 100 mA, 0.5 A as far as the weakest place bears,
// and never more than it bears.
func TestCurrentSteps(t *testing.T) {
	for _, c := range []struct {
		most float64
		want []float64
	}{
		{3, []float64{0.01, 0.1, 0.5}},
		{0.3641, []float64{0.01, 0.1, 0.36}},
		{0.1, []float64{0.01, 0.1}},
		{0.0567, []float64{0.01, 0.056}},
		{0.00789, []float64{0.0078}},
	} {
		got := safeSteps(c.most, 0.001, 0, 0).Steps
		if len(got) != len(c.want) {
			t.Errorf("most %g A: steps %v, want %v", c.most, got, c.want)
			continue
		}
		for i := range got {
			if math.Abs(got[i]-c.want[i]) > 1e-12 || got[i] > c.most {
				t.Errorf("most %g A: steps %v, want %v", c.most, got, c.want)
			}
		}
	}
	if note := safeSteps(1, 0.4, 0.4, 1).Note; !strings.Contains(note, "voltage limit") {
		t.Errorf("0.5 V of drop: %s", note)
	}
}

// TestCurrentHeat: BENCH.md, "Inject and look": 1 A through 2 mΩ makes 2 mW
// and does not show; 50 mW does.
func TestCurrentHeat(t *testing.T) {
	h := heatAt(1, 0.002, 2)
	if h.Shows || h.ShortWatts != 0.002 || h.OhmsNeeded != 0.05 || !strings.Contains(h.Note, "makes 2 mW: it will not show") {
		t.Errorf("1 A through 2 mΩ: %+v", h)
	}
	if h := heatAt(1, 0.06, 2); !h.Shows || !strings.Contains(h.Note, "may show") {
		t.Errorf("1 A through 60 mΩ: %+v", h)
	}
	if h := heatAt(1, 0.002, 0.509); math.Abs(h.OhmsNeededSafe-0.2) > 1e-12 || !strings.Contains(h.Note, "at the 500 mA that is safe here, a short of 200 mΩ or more") {
		t.Errorf("1 A where half of it is safe: %+v", h)
	}
}

// TestCurrentShort: by way of a short the drop is that of both nets' ways.
func TestCurrentShort(t *testing.T) {
	if testing.Short() {
		t.Skip("solves the demo's ground: left out of -short")
	}
	a := currentOn(t, CurrentOptions{From: "C3.2", To: "C3.1", Amps: 0.1, Short: "C25.2/C25.1", ShortOhms: 0.01})
	r, err := Resistance(context.Background(), engine.DemoName, []answer.Pair{{From: "C3.2", To: "C25.1"}, {From: "C3.1", To: "C25.2"}}, withStore())
	if err != nil {
		t.Fatal(err)
	}
	if want := *r.Results[0].Ohms + *r.Results[1].Ohms; math.Abs(a.Ohms-want) > 1e-6*want || len(a.Nets) != 2 {
		t.Errorf("%v: %g ohms, want %g", a.Nets, a.Ohms, want)
	}
}

// TestCurrentPictureSide: with both places on the bottom, that side is shown as
// it is seen, and what lies left on the top lies right.
func TestCurrentPictureSide(t *testing.T) {
	dir := straightBoard(t, 0.15)
	left := func(layer, y int) float64 {
		t.Helper()
		file := filepath.Join(t.TempDir(), "side.svg")
		_, err := Current(context.Background(), dir, CurrentOptions{From: fmt.Sprintf("L%d@5,%d", layer, y), To: fmt.Sprintf("L%d@45,%d", layer, y), Amps: 0.1, ShortOhms: 0.002, Picture: file}, withStore())
		if err != nil {
			t.Fatal(err)
		}
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		text := string(data)
		if name := map[int]string{1: ">L1, top<", 2: ">L2, inner, seen from the top<", 4: ">L4, bottom<"}[layer]; !strings.Contains(text, name) {
			t.Errorf("layer %d: no panel %q", layer, name)
		}
		sign := strings.Index(text, ">I+<")
		if sign < 0 {
			t.Fatalf("layer %d: no I+ in the picture", layer)
		}
		start := strings.LastIndex(text[:sign], "<text")
		var x float64
		if _, err := fmt.Sscanf(text[start+strings.Index(text[start:], ` x="`):], ` x="%f"`, &x); err != nil {
			t.Fatal(err)
		}
		return x
	}
	if top, inner, bottom := left(1, 2), left(2, 4), left(4, 8); top > width/2 || inner > width/2 || bottom < width/2 {
		t.Errorf("I+ stands at %g on top, %g inside, %g on the bottom of pictures %d wide", top, inner, bottom, width)
	}
}

// width is how wide pictures are, in pixels.
const width = 1600

// TestCurrentRefused names what is wrong and what to do.
func TestCurrentRefused(t *testing.T) {
	for _, c := range []struct{ from, to, short, want string }{
		{"C3.2", "C3.1", "", "C3.2 is on net +3V3 and C3.1 on net GND"},
		{"C3.2", "C3.2", "", "they are one contact"},
		{"C3.2", "C3.1", "C25.1", "is not two places"},
		{"C3.2", "C3.1", "C25.1/C24.1", "does not join net +3V3"},
		{"C3.2", "C25.1", "C25.1/C25.2", "does not join net +3V3"},
		{"C3.2", "C3.9", "", "part C3 has no pin 9"},
	} {
		_, err := Current(context.Background(), engine.DemoName, CurrentOptions{From: c.from, To: c.to, Short: c.short, Amps: 1, ShortOhms: 0.002}, withStore())
		var e *answer.Error
		if !errors.As(err, &e) || e.Kind != answer.Bad || !strings.Contains(e.What, c.want) {
			t.Errorf("%s to %s by %q: %v", c.from, c.to, c.short, err)
		}
	}
}

// TestCurrentPicture is drawn in both forms, and not where it cannot be.
func TestCurrentPicture(t *testing.T) {
	if testing.Short() {
		t.Skip("draws whole layers: left out of -short")
	}
	dir := t.TempDir()
	for _, name := range []string{"a.png", "a.svg"} {
		a := currentOn(t, CurrentOptions{From: "C3.2", To: "C25.1", Amps: unit.Current(0.1), ShortOhms: 0.002, Picture: filepath.Join(dir, name)})
		data, err := os.ReadFile(a.Picture)
		if err != nil || len(data) < 5000 {
			t.Errorf("%s: %d bytes, %v", name, len(data), err)
		}
		if strings.HasSuffix(name, "svg") {
			for _, want := range []string{"A/mm of width", "hottest", "C25.1", "through +3V3", "L1, top", "L2, bottom, seen through the board from the top", ">U2<"} {
				if !strings.Contains(string(data), want) {
					t.Errorf("%s does not say %q", name, want)
				}
			}
			if strings.Contains(string(data), "NaN") {
				t.Error("a coordinate is no number")
			}
		}
	}
	_, err := Current(context.Background(), engine.DemoName, CurrentOptions{From: "C3.2", To: "C25.1", Amps: 1, ShortOhms: 1, Picture: filepath.Join(dir, "no", "a.png")}, withStore())
	if err == nil {
		t.Error("drew into a folder that is not there")
	}
}
