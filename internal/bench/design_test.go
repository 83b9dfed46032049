package bench

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"ohmward/geom"
	"ohmward/internal/answer"
	"ohmward/internal/board"
	"ohmward/internal/check"
	"ohmward/internal/engine"
)

// The demo board in one IPC-2581 file, revision B in inches and C in
// millimetres, is the board of its Gerber set: copper, nets, pins, holes,
// parts, stack-up and resistances.
func TestDesignIsGerberSet(t *testing.T) {
	pairs := []answer.Pair{{From: "U1.12", To: "U6.3"}, {From: "C7.1", To: "C3.2"}, {From: "C3.1", To: "C25.2"}}
	pairs = pairs[:check.Draws(t, 1, 3, 3)] // the last is on the ground
	a, err := Resistance(t.Context(), engine.DemoName, pairs, withStore())
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		rev  string
		inch bool
	}{{"B", true}, {"C", false}} {
		want, text := demoAsDesign(t, c.rev, c.inch)
		path := filepath.Join(t.TempDir(), "demo.xml")
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		got, err := engine.Open(t.Context(), path, withStore())
		if err != nil {
			t.Fatal(err)
		}
		if len(got.Layout.Doubts)+len(got.Nets.Doubts) > 0 {
			t.Errorf("%s: doubts %v %v", c.rev, got.Layout.Doubts, got.Nets.Doubts)
		}
		same(t, c.rev+" copper", layersOf(want), layersOf(got))
		same(t, c.rev+" nets", netsOf(want), netsOf(got))
		same(t, c.rev+" holes", holesOf(want), holesOf(got))
		same(t, c.rev+" parts", partsOf(want), partsOf(got))
		for i := range want.Layout.Stack.Gap {
			if a, b := want.Layout.Stack.Gap[i], got.Layout.Stack.Gap[i]; math.Abs(float64(a-b)) > 1e-9 {
				t.Errorf("%s: gap %d is %v, want %v", c.rev, i, b, a)
			}
		}
		if c.inch && testing.Short() {
			continue
		}
		b, err := Resistance(t.Context(), path, pairs, withStore())
		if err != nil {
			t.Fatal(err)
		}
		for i := range pairs {
			if a.Results[i].Ohms == nil || b.Results[i].Ohms == nil {
				t.Fatalf("%s: %v is not answered: %q, %q", c.rev, pairs[i], a.Results[i].Error, b.Results[i].Error)
			}
			t.Logf("%s: %v is %.9g and %.9g ohms", c.rev, pairs[i], *a.Results[i].Ohms, *b.Results[i].Ohms)
			x, y := *a.Results[i].Ohms, *b.Results[i].Ohms
			if !(x > 0) || math.Abs(y/x-1) > 1e-4 {
				t.Errorf("%s: %v is %g ohms, want %g", c.rev, pairs[i], y, x)
			}
		}
	}
}

// same compares two lists whatever their order.
func same(t *testing.T, what string, want, got []string) {
	t.Helper()
	slices.Sort(want)
	slices.Sort(got)
	if len(want) == 0 || len(want) != len(got) {
		t.Errorf("%s: %d, want %d", what, len(got), len(want))
		return
	}
	for i := range want {
		if want[i] != got[i] {
			t.Errorf("%s: got %s, want %s", what, got[i], want[i])
		}
	}
}

func layersOf(p *engine.Board) (out []string) {
	for i := range p.Layout.Layers {
		// To a square micrometre: doubles add up in another order.
		out = append(out, fmt.Sprintf("%s %.6f mm2 painted, %.6f drilled, %v thick", p.Layout.Layers[i].Name,
			p.Layout.Layers[i].Copper.Area()*1e-12, p.Nets.Layers[i].Area()*1e-12, p.Layout.Stack.Copper[i]))
	}
	return out
}

func netsOf(p *engine.Board) (out []string) {
	for i := range p.Nets.Nets {
		n := &p.Nets.Nets[i]
		var pins []string
		for _, k := range n.Pads {
			d := p.Layout.Pads[k]
			pins = append(pins, fmt.Sprintf("%s.%s/%d", d.Ref, d.Pin, d.Layer))
		}
		slices.Sort(pins)
		out = append(out, fmt.Sprintf("%s %.6f mm2 %s", n.Name, n.Area*1e6, strings.Join(pins, " ")))
	}
	return out
}

func holesOf(p *engine.Board) (out []string) {
	for _, h := range p.Layout.Holes {
		a, b := h.At, h.To
		if b.X < a.X || b.X == a.X && b.Y < a.Y {
			a, b = b, a
		}
		near := func(q geom.Point) [2]int64 { return [2]int64{(q.X + 500) / 1000, (q.Y + 500) / 1000} }
		out = append(out, fmt.Sprintf("%v %v um across %d, plated %t, %d to %d", near(a), near(b), (h.Diameter+500)/1000, h.Plated, h.First, h.Last))
	}
	return out
}

func partsOf(p *engine.Board) (out []string) {
	for _, q := range p.Layout.Parts {
		out = append(out, fmt.Sprintf("%s %s on the bottom %t, %d pads, absent %t, body %v", q.Ref, q.Value, q.Side == board.Bottom, len(q.Pads), q.Absent, q.Body.Bounds()))
	}
	return out
}
