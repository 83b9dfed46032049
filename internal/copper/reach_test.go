package copper

import (
	"fmt"
	"math"
	"testing"

	"ohmward/geom"
	"ohmward/internal/board"
)

func TestProbePlaces(t *testing.T) {
	top := append(rect(0, 0, 2, 1), append(rect(4, 0, 4.25, 1), append(rect(6, 0, 8, 2), rect(10, 0, 20, 2)...)...)...)
	b := layersOf(top, rect(6, 0, 8, 2))
	bore(b, 7, 1, 0.6, true, 0, 1)
	addPad(b, 0, 1, 0.5, 1, "C1", "1", -1)
	addPad(b, 0, 4.125, 0.5, 0.25, "C1", "2", -1) // too narrow
	addPad(b, 0, 7, 1, 2, "J1", "1", 0)
	addPad(b, 1, 7, 1, 2, "J1", "1", 0)
	addPad(b, 0, 11, 1, 1, "U1", "1", -1) // under M1's body
	b.Parts = append(b.Parts, board.Part{Ref: "M1", Body: rect(10, 0, 13, 2)[0].Outer})
	n := extract(t, b, Options{})

	list := func() string {
		var out []string
		for id := range n.Nets {
			for _, p := range n.ProbePlaces(id) {
				out = append(out, fmt.Sprintf("%s %s %v %.2f", p.Kind, Place{Layer: p.Layer, At: p.At}, p.Sides, float64(p.Width)*1e-6))
			}
		}
		return fmt.Sprint(out)
	}
	// Without a mask file: pads and drilled pins.
	if got, want := list(), "[pad L1@1.000,0.500 [true false] 1.00 pin L1@7.000,1.000 [true true] 2.00]"; got != want {
		t.Errorf("without mask: %s, want %s", got, want)
	}
	// With one: the bottom covered, C1.1 partly open, a window over bare
	// copper away from M1.
	mask := append(rect(0.7, 0.2, 1.3, 0.8), append(rect(5.9, -0.1, 8.1, 2.1), append(rect(16, 0.5, 17, 1.5), rect(10.5, 0.5, 11.5, 1.5)...)...)...)
	none := geom.Region{}
	b.Mask = [2]*geom.Region{&mask, &none}
	if got, want := list(), "[pad L1@1.000,0.500 [true false] 0.60 pin L1@7.000,1.000 [true false] 2.00 copper L1@16.500,1.000 [true false] 1.00]"; got != want {
		t.Errorf("with mask: %s, want %s", got, want)
	}
}

func TestUnderOwnBody(t *testing.T) {
	b := layersOf(rect(0, 0, 8, 8))
	for k := range 4 {
		at := 1.4 + float64(k)*1.7
		addPad(b, 0, at, 0.4, 0.6, "U1", fmt.Sprint(k+1), -1)
		addPad(b, 0, at, 7.6, 0.6, "U1", fmt.Sprint(k+5), -1)
	}
	addPad(b, 0, 4, 4, 3, "U1", "9", -1)
	b.Parts[0].Body = rect(0.5, 0.1, 7.5, 7.9)[0].Outer
	n := extract(t, b, Options{})
	for _, p := range n.ProbePlaces(0) {
		if p.Pin == "U1.9" {
			t.Error("the pad under the chip counts as within reach")
		}
	}
	if got := len(n.ProbePlaces(0)); got != 8 {
		t.Errorf("%d places, want the 8 pins outside", got)
	}
	// A body narrower than the rows: the pins stick out by 0.2 mm only.
	b.Parts[0].Body = rect(0.5, 0.3, 7.5, 7.7)[0].Outer
	if got := len(extract(t, b, Options{}).ProbePlaces(0)); got != 8 {
		t.Errorf("%d places under a narrower body, want 8", got)
	}
}

func TestClose(t *testing.T) {
	// Two bars of one net 10 um apart, joined at the left; another net's bar
	// 10 um below.
	own := geom.Union(rect(0, 1.01, 10, 2), rect(0, 2.01, 10, 3), rect(0, 1.01, 1, 3))
	b := layersOf(append(own, rect(0, 0, 10, 1)...))
	label(b, 0, 5, 2.5, "A")
	label(b, 0, 5, 0.5, "B")
	literal := extract(t, b, Options{})
	closed := extract(t, b, Options{Close: 20_000})
	area := func(n *Nets, name string) float64 {
		id, err := n.ByName(name)
		if err != nil {
			t.Fatal(err)
		}
		return n.Nets[id].Area * 1e6
	}
	if len(literal.Doubts) != 1 || len(closed.Nets) != 2 {
		t.Errorf("doubts %v, %d nets after closing", literal.Doubts, len(closed.Nets))
	}
	if got := area(literal, "A"); math.Abs(got-(9.9+9.9+0.01)) > 1e-9 {
		t.Errorf("A is %.6f mm2 as drawn", got)
	}
	if got := area(closed, "A"); math.Abs(got-10*1.99) > 1e-3 {
		t.Errorf("A is %.6f mm2 closed, want 19.9", got)
	}
	if got := area(closed, "B"); math.Abs(got-10) > 1e-6 {
		t.Errorf("B is %.6f mm2, want 10", got)
	}
	if closed.at(0, 5, 2.005) != "A" || closed.at(0, 5, 1.005) != "" {
		t.Error("the wrong slit is filled")
	}
}
