package copper

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"testing/fstest"

	"ohmward/geom"
	"ohmward/internal/board"
	"ohmward/internal/boardread"
)

// Outside check: nets_d356.json. A board without net names takes them, and
// its pins, from the netlist beside it; the nets that really are one piece of
// copper are the only doubts.
func TestNamesOfNetlist(t *testing.T) {
	for name, list := range listedNets(t) {
		if leftOut(name) {
			t.Skip("left out in short runs: a large board")
		}
		n := openBoard(t, name)
		pads := 0
		for net, want := range list.Nets {
			id, err := n.ByName(net)
			if err != nil {
				t.Errorf("%s: %v", net, err)
				continue
			}
			for _, w := range want {
				ref, pin, ok := strings.Cut(w.Pad, ".")
				if !ok {
					continue // a via
				}
				found := false
				for _, i := range n.Pads(ref, pin) {
					p := n.Board.Pads[i]
					found = found || geom.Distance(p.At, geom.FromMM(w.X, w.Y)) < 6000 && n.PadNet(i) == id
				}
				if !found {
					t.Errorf("%s: no pad %s at %g,%g", net, w.Pad, w.X, w.Y)
				}
				pads++
			}
		}
		if pads < 200 {
			t.Errorf("only %d pads compared", pads)
		}
		joins := 0
		for _, d := range n.Doubts {
			if strings.Contains(d.What, "copper joins them") {
				joins++
			} else if !strings.Contains(d.What, "slits narrower") {
				t.Errorf("doubt %s:%d: %s", d.File, d.Line, d.What)
			}
		}
		if joins != len(list.Merged) {
			t.Errorf("%d doubts of joined nets, want %d", joins, len(list.Merged))
		}
	}
}

// d356Line is one record for a surface land in micrometres.
func d356Line(net, ref, pin string, x, y float64) string {
	return fmt.Sprintf("327%-14s   %-6s-%-4s     A01X%+07dY%+07dX001000Y000600R000 S0\n", net, ref, pin, int(x*1000), int(y*1000))
}

func TestNetlistAgainstCopper(t *testing.T) {
	land := func(x, y float64) string { return fmt.Sprintf("X%dY%dD03*\n", int(x*1e6), int(y*1e6)) }
	strip := func(x, y, x2, y2 float64) string {
		return fmt.Sprintf("X%dY%dD02*\nX%dY%dD01*\n", int(x*1e6), int(y*1e6), int(x2*1e6), int(y2*1e6))
	}
	head := "%FSLAX46Y46*%\n%MOMM*%\n%TF.FileFunction,Copper,L1,Top*%\n%ADD10R,1X0.6*%\n%ADD11C,0.2*%\nG01*\n"
	places := [][2]float64{{1, 1}, {5, 1}, {1, 5}, {5, 7}, {9, 1}, {9, 6}}
	plot := "D10*\n"
	for _, p := range places {
		plot += land(p[0], p[1])
	}
	plot += "D11*\n" + strip(1, 1, 5, 1) // A whole; B is open; C and D are joined
	plot += strip(9, 1, 9, 6)
	list := func(move float64) string {
		at := func(i int) (x, y float64) { return places[i][0] + move, places[i][1] - 2*move }
		s := "P  UNITS CUST 1\n"
		for i, l := range []struct{ net, ref, pin string }{{"A", "R1", "1"}, {"A", "R2", "1"}, {"B", "R1", "2"}, {"B", "R2", "2"}, {"C", "C1", "1"}, {"D", "C1", "2"}} {
			x, y := at(i)
			s += d356Line(l.net, l.ref, l.pin, x, y)
		}
		return s + "999\n"
	}
	set := fstest.MapFS{
		"b.gtl":  {Data: []byte(head + plot + "M02*\n")},
		"b.d356": {Data: []byte(list(3))},
	}
	b, err := boardread.Read(set, "made", boardread.Options{})
	if err != nil {
		t.Fatal(err)
	}
	n := extract(t, b, Options{})
	var names []string
	for i := range n.Nets {
		names = append(names, n.Nets[i].Name)
	}
	if got := strings.Join(names, " "); got != "A B B~2 C" {
		t.Errorf("nets %s, want A, two pieces of B, and C", got)
	}
	if id, err := n.ByName("D"); err != nil || n.Nets[id].Name != "C" {
		t.Errorf("D does not lead to the copper it shares with C: %v", err)
	}
	if len(n.Board.Parts) != 3 || len(n.Pads("R1", "2")) != 1 {
		t.Errorf("parts %+v", n.Board.Parts)
	}
	for _, words := range []string{"net B of the netlist lies on 2 separate pieces of copper: L1 at 1.000,5.000, L1 at 5.000,7.000", "has C, D apart"} {
		found := false
		for _, d := range n.Doubts {
			found = found || strings.Contains(d.What, words) && d.File == "b.d356"
		}
		if !found {
			t.Errorf("no doubt %q among %v", words, n.Doubts)
		}
	}
	if len(n.Doubts) != 2 {
		t.Errorf("%d doubts, want 2: %v", len(n.Doubts), n.Doubts)
	}

	// Another board's netlist is said to be one, and is not used.
	far := "P  UNITS CUST 1\n"
	for i, p := range [][2]float64{{0.3, 0.9}, {2.2, 7.7}, {4.9, 3.1}, {7.3, 8.8}, {1.7, 4.2}, {8.1, 2.6}} {
		far += d356Line("X", "U9", fmt.Sprint(i+1), p[0], p[1])
	}
	set["b.d356"] = &fstest.MapFile{Data: []byte(far + "999\n")}
	if b, err = boardread.Read(set, "made", boardread.Options{}); err != nil {
		t.Fatal(err)
	}
	told := false
	for _, d := range b.Doubts {
		told = told || strings.Contains(d.What, "another board's or revision's netlist")
	}
	if !told || len(b.Netlist) > 0 || len(b.Pads) > 0 {
		t.Errorf("another board's netlist is used: %v", b.Doubts)
	}
}

// The real IPC-2581 board: the copper falls into the nets that the file
// declares, and no doubt is left (REFERENCES: none; the file's own lists).
func TestDesignNets(t *testing.T) {
	n := openBoard(t, "ipc2581-dm0002")
	if len(n.Doubts) != 0 || len(n.Board.Doubts) != 0 {
		t.Errorf("doubts %v %v", n.Doubts, n.Board.Doubts)
	}
	named := 0
	for i := range n.Nets {
		if n.Nets[i].Named() {
			named++
		}
	}
	if named != 64 || len(n.Board.Parts) != 59 {
		t.Errorf("%d named nets and %d parts, want 64 and 59", named, len(n.Board.Parts))
	}
	b := n.Board.Outline.Bounds()
	if len(n.Layers) != 4 || b.Max.X-b.Min.X != 15_000_000 || b.Max.Y-b.Min.Y != 38_600_000 {
		t.Errorf("%d layers, size %v", len(n.Layers), b)
	}
	if n.Board.Mask[0] == nil || n.Board.Mask[1] == nil || !n.Board.Stack.Given || math.Abs(n.Board.Stack.Copper[1].UM()-15.2) > 1e-9 {
		t.Errorf("mask or stack-up lacks: %+v", n.Board.Stack)
	}
	drawn := 0
	for _, p := range n.Board.Parts {
		if !p.Guessed && len(p.Body) > 2 {
			drawn++
		}
	}
	if drawn < 50 { // test points have no body
		t.Errorf("%d bodies come from the file", drawn)
	}
}

// Where only a list tells two nets of one piece of copper apart, the places of both
// that are nearest to each other are named, not the first of each; the refusal to look
// for a short between them says the same.
func TestNearestListed(t *testing.T) {
	n := &Nets{Board: &board.Board{}, holes: board.NewHoleGrid(nil, 0)}
	label := func(net string, x, y float64) board.Label {
		return board.Label{Net: net, At: geom.FromMM(x, y), File: "b.d356"}
	}
	var square geom.Ring
	for _, c := range [][2]float64{{0, 0}, {30, 0}, {30, 10}, {0, 10}} {
		square = append(square, geom.FromMM(c[0], c[1]))
	}
	n.Board.Netlist = []board.Label{label("A", 1, 1), label("A", 9, 5), label("B", 29, 1), label("B", 10, 5), label("C", 25, 9),
		label("C", 28, 1)}
	n.Layers = []geom.Region{{{Outer: square}}}
	n.locators = []*geom.Locator{geom.NewLocator(n.Layers[0])}
	n.pieceNet = [][]int{{0}}
	n.Nets = []Net{{}}
	claims, _ := n.claimed(n.Board.Netlist)
	d := n.listedApart(0, claims[0])
	for _, words := range []string{"has A, B, C apart", "A on L1 at 9.000,5.000 and B on L1 at 10.000,5.000",
		"B on L1 at 29.000,1.000 and C on L1 at 28.000,1.000"} {
		if !strings.Contains(d.What, words) {
			t.Errorf("no %q in %q", words, d.What)
		}
	}
	if got, want := n.WhereMet("B", "A"), "nearest to each other are A on L1 at 9.000,5.000 and B on L1 at 10.000,5.000"; got != want {
		t.Errorf("met at %q, want %q", got, want)
	}
}
