package boardread

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"ohmward/geom"
	"ohmward/internal/board"
)

func TestSmallBoard(t *testing.T) {
	b := mustRead(t, smallBoard(), Options{})
	if len(b.Layers) != 2 || b.Layers[0].File != "b-top.gbr" || b.Layers[1].File != "b-bottom.gbr" {
		t.Fatalf("layers %v", b.Layers)
	}
	if got := b.Outline.Area() * 1e-12; math.Abs(got-320) > 1e-9 {
		t.Errorf("outline %v mm2, want 320", got)
	}
	want := map[string]string{"C1": "1 2 2 top", "R1": "2 2 4 top"}
	for _, p := range b.Parts {
		pins := map[string]bool{}
		holes := 0
		for _, i := range p.Pads {
			pins[b.Pads[i].Pin] = true
			if b.Pads[i].Hole >= 0 {
				holes = 2
			}
		}
		got := fmt.Sprintf("%d %d %d %s", max(1, holes), len(pins), len(p.Pads), [...]string{"top", "bottom"}[p.Side])
		if got != want[p.Ref] {
			t.Errorf("%s: %s, want %s", p.Ref, got, want[p.Ref])
		}
	}
	for _, p := range b.Pads {
		if p.Ref == "R1" && (p.Hole < 0 || geom.Distance(b.Holes[p.Hole].At, p.At) > 1) {
			t.Errorf("pad R1.%s has hole %d", p.Pin, p.Hole)
		}
		if p.Ref == "C1" && (p.Hole >= 0 || p.Function != "SMDPad" || math.Abs(p.Shape.Area()*1e-12-0.6) > 1e-9) {
			t.Errorf("pad C1.%s: %+v", p.Pin, p)
		}
	}
	for _, l := range b.Labels {
		if !b.Layers[l.Layer].Copper.Contains(l.At) {
			t.Errorf("label %s at %s is off copper", l.Net, place(l.At))
		}
		for _, h := range b.Holes {
			if h.Holds(l.At) {
				t.Errorf("label %s at %s stands in a hole", l.Net, place(l.At))
			}
		}
	}
	if len(b.Labels) != 4+1+2+2+2 {
		t.Errorf("%d labels, want 11", len(b.Labels))
	}
}

// Stale pin attributes, as two boards of the shared checks carry them.
func TestStaleLabels(t *testing.T) {
	square := func(x, y, x2, y2 float64) string {
		return "G36*\n" + xy(x, y) + "D02*\n" + xy(x2, y) + "D01*\n" + xy(x2, y2) + "D01*\n" + xy(x, y2) + "D01*\n" + xy(x, y) + "D01*\nG37*\n"
	}
	top := "D12*\n" + pin("U1", "1", "A") + flash(2, 2) + square(1.4, 1.6, 2.6, 2.4) + // the pad's own body
		"D13*\n" + flash(6, 6) + // a via after a pad
		"D10*\n" + line(2, 2, 6, 6) + // a track after a pad
		pin("U1", "2", "B") + square(10, 10, 11, 11) + // shown by the mask: a pad of its own
		square(12, 2, 18, 8) + // a pour under mask: none
		"%TO.N,N/C*%\n%TO.P,U1,3*%\nD12*\n" + flash(2, 12)
	set := put(put(smallBoard(), "b-top.gbr", gerberText("Copper,L1,Top", top)),
		"b-mask.gbr", gerberText("Soldermask,Top", square(9.9, 9.9, 11.1, 11.1)+square(13, 3, 14, 4)))
	b := mustRead(t, put(set, "b.drl", nil), Options{})
	var got []string
	for _, p := range b.Pads {
		if p.Ref == "U1" {
			got = append(got, fmt.Sprintf("%s %s %.2f %q", p.Pin, place(p.At), p.Shape.Area()*1e-12, p.Net))
		}
	}
	want := []string{`1 2.000,2.000 0.96 "A"`, `3 2.000,12.000 0.60 ""`, `2 10.500,10.500 1.00 "B"`}
	if fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("pads %v, want %v", got, want)
	}
	for _, l := range b.Labels {
		if l.Net == "N/C" || l.Net == "" {
			t.Errorf("label %+v names no net", l)
		}
	}
}

func TestMergeHoles(t *testing.T) {
	at := func(x, y int64) geom.Point { return geom.Point{X: x, Y: y} }
	in := []board.Hole{
		{At: at(0, 0), To: at(0, 0), Diameter: 300_000, Plated: true, Last: 3},
		{At: at(8_000, 0), To: at(8_000, 0), Diameter: 305_000, Plated: true, Last: 3},            // the same
		{At: at(50_000, 0), To: at(50_000, 0), Diameter: 100_000, Plated: true, Last: 3},          // near, another hole
		{At: at(1e6, 0), To: at(2e6, 0), Diameter: 600_000, Plated: true, Last: 3},                // slot
		{At: at(2e6, 0), To: at(1e6, 5_000), Diameter: 600_000, Plated: true, Last: 3},            // the same, backwards
		{At: at(1e6, 0), To: at(1e6, 0), Diameter: 600_000, Plated: true, Last: 3},                // the slot's pilot hole
		{At: at(0, 5e6), To: at(0, 5e6), Diameter: 100_000, Plated: true, First: 0, Last: 1},      // blind
		{At: at(0, 5e6), To: at(0, 5e6), Diameter: 200_000, Plated: true, First: 1, Last: 2},      // buried beneath
		{At: at(0, 9e6), To: at(0, 9e6), Diameter: 900_000, Plated: false, Last: 3, File: "npth"}, // told twice
		{At: at(0, 9e6), To: at(0, 9e6), Diameter: 900_000, Plated: true, Last: 3, File: "pth"},
	}
	out, doubts := mergeHoles(in)
	if len(out) != 7 {
		t.Errorf("%d holes, want 7: %+v", len(out), out)
	}
	for _, h := range out {
		if h.At.Y == 0 && h.At.X < 20_000 && h.Diameter != 305_000 {
			t.Errorf("the larger of a pair does not stay: %+v", h)
		}
		if h.At.Y == 9e6 && !h.Plated {
			t.Errorf("not taken as plated: %+v", h)
		}
	}
	if len(doubts) != 1 {
		t.Errorf("doubts %v, want one on plating", doubts)
	}
}

func TestOutlineLoops(t *testing.T) {
	read := func(plot string) geom.Region {
		b := mustRead(t, put(smallBoard(), "b-profile.gbr", gerberText("Profile,NP", plot)), Options{})
		return b.Outline
	}
	for _, c := range []struct {
		name, plot string
		mm2        float64
	}{
		{"a box", "D10*\n" + box(0, 0, 20, 16), 320},
		{"strokes in any order and sense", "D10*\n" + line(0, 0, 20, 0) + line(0, 16, 0, 0) + line(20, 16, 20, 0) + line(0, 16, 20, 16), 320},
		{"ends 8 um apart", "D10*\n" + line(0, 0, 20, 0) + line(20.008, 0, 20, 16) + line(20, 16, 0, 16) + line(0, 16, 0, 0), 320.064},
		{"a pen of no size", "D14*\n" + box(0, 0, 20, 16), 320},
		{"a window", "D10*\n" + box(0, 0, 20, 16) + box(5, 5, 7, 8), 314},
		{"two boards", "D10*\n" + box(0, 0, 20, 16) + box(22, 0, 30, 16), 448},
		{"a filled region", "G36*\n" + xy(0, 0) + "D02*\n" + xy(20, 0) + "D01*\n" + xy(20, 16) + "D01*\n" + xy(0, 16) + "D01*\n" + xy(0, 0) + "D01*\nG37*\n", 320},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := read(c.plot).Area() * 1e-12; math.Abs(got-c.mm2) > 0.001 {
				t.Errorf("%.4f mm2, want %.4f", got, c.mm2)
			}
		})
	}
	// A round board of 20 mm drawn as two half circles.
	round := read("D10*\n" + xy(0, 10) + "D02*\nG03*\nX20000000Y10000000I10000000J0D01*\nX0Y10000000I-10000000J0D01*\nG01*\n")
	if got := round.Area() * 1e-12; math.Abs(got-math.Pi*100) > 0.05 {
		t.Errorf("a round board: %.4f mm2, want %.4f", got, math.Pi*100)
	}
}

// Parts tables of several spellings give values, sides and places, and tell
// what is not fitted.
func TestPartsTables(t *testing.T) {
	for _, c := range []struct{ name, table, want string }{
		{"commas", "Reference,Value,Footprint\nR1,0R,0402\n\"C1,C2\",100n,0402\n", "C1 100n 0 false 6.0,12.0; R1 0R 0 false 10.0,5.0"},
		{"semicolons and a mark in front", "\ufeffDesignator;Comment\nR1;600R@100MHz\n", "C1  0 false 6.0,12.0; R1 600R@100MHz 0 false 10.0,5.0"},
		{"tabs, several on a line", "Comment\tQty\tDesignator\n10k\t2\tR1 C1\n", "C1 10k 0 false 6.0,12.0; R1 10k 0 false 10.0,5.0"},
		{"places from another origin, a part without pads", "Ref,Val,PosX,PosY,Side\nR1,0R,110,-95,top\nC1,1u,106,-88,top\nM1,hole,100,-100,bottom\nC1x,,101,-99,bottom\n",
			"C1 1u 0 false 6.0,12.0; R1 0R 0 false 10.0,5.0"},
		{"not fitted", "Ref,Value,DNP\nR1,0R,DNP\nC1,1u,\n", "C1 1u 0 false 6.0,12.0; R1 0R 0 true 10.0,5.0"},
		{"no table of parts", "x,y\n1,2\n", "C1  0 false 6.0,12.0; R1  0 false 10.0,5.0"},
	} {
		b := mustRead(t, put(smallBoard(), "parts.csv", []byte(c.table)), Options{})
		var got []string
		for _, p := range b.Parts {
			x, y := p.At.MM()
			got = append(got, fmt.Sprintf("%s %s %d %v %.1f,%.1f", p.Ref, p.Value, p.Side, p.Absent, x, y))
		}
		if s := strings.Join(got, "; "); s != c.want {
			t.Errorf("%s: parts %s, want %s", c.name, s, c.want)
		}
	}
}

func TestDrillAsGerber(t *testing.T) {
	plot := "%TA.AperFunction,ViaDrill*%\n%ADD20C,0.8*%\n%TD*%\nD20*\n" + flash(5, 5) + flash(15, 5) + line(10, 10, 10, 12)
	b := mustRead(t, put(put(smallBoard(), "b.drl", nil), "b-pth.gbr", gerberText("Plated,1,2,PTH,Drill", plot)), Options{})
	if len(b.Holes) != 3 {
		t.Fatalf("holes %+v", b.Holes)
	}
	for _, h := range b.Holes {
		if h.Diameter != 800_000 || !h.Plated {
			t.Errorf("hole %+v", h)
		}
	}
}

func TestComponentLayer(t *testing.T) {
	layer := "%FSLAX46Y46*%\n%MOMM*%\n%TF.FileFunction,Component,L2,Bot*%\nG01*\n" +
		"%TA.AperFunction,ComponentMain*%\n%ADD10C,0.3*%\n%TA.AperFunction,ComponentOutline,Body*%\n%ADD11C,0.1*%\n" +
		"%TA.AperFunction,ComponentOutline,Courtyard*%\n%ADD12C,0.1*%\n%TD*%\n" +
		"%TO.C,C1*%\n%TO.CVal,1\\u002C5 uF*%\nD10*\n" + flash(6, 12) +
		"D12*\n" + box(3, 10, 9, 14) + "D11*\n" + box(4, 11, 8, 13) +
		"%TO.C,SH1*%\n%TO.CVal,shell*%\nD11*\n" + box(10, 10, 14, 14) + "%TD*%\nM02*\n"
	b := mustRead(t, put(smallBoard(), "b-parts-bottom.gbr", []byte(layer)), Options{})
	got := map[string]string{}
	for _, p := range b.Parts {
		got[p.Ref] = fmt.Sprintf("%q %v %v %.1f", p.Value, p.Side, p.Guessed, p.Body.Area()*1e-12)
	}
	want := map[string]string{"C1": `"1,5 uF" 1 false 8.0`, "SH1": `"shell" 1 false 16.0`, "R1": `"" 0 true 20.7`}
	if fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("parts %v, want %v", got, want)
	}
}
