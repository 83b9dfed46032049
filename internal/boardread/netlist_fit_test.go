package boardread

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"testing/fstest"
)

// listedPin is one surface land of a made netlist.
type listedPin struct {
	net, ref, pin string
	x, y          float64 // millimetres
	bottom        bool
}

// listedPins is an irregular lot of lands on both sides.
func listedPins() (out []listedPin) {
	for i := range 24 {
		x := 2 + 37*math.Mod(float64(i)*0.618, 1)
		y := 2 + 21*math.Mod(float64(i)*0.7548, 1)
		out = append(out, listedPin{fmt.Sprintf("N%d", i), fmt.Sprintf("U%d", i), "1", x, y, i%3 == 0})
	}
	return out
}

// listedSet is a board with those lands and a netlist that says where they are.
func listedSet(list string) fstest.MapFS {
	var plot [2]string
	for _, p := range listedPins() {
		side := 0
		if p.bottom {
			side = 1
		}
		plot[side] += flash(p.x, p.y)
	}
	return fstest.MapFS{
		"b.gtl":  {Data: gerberText("Copper,L1,Top", "D12*\n"+plot[0])},
		"b.gbl":  {Data: gerberText("Copper,L2,Bot", "D12*\n"+plot[1])},
		"b.gko":  {Data: gerberText("Profile,NP", "D10*\n"+box(0, 0, 42, 26))},
		"b.d356": {Data: []byte(list)},
	}
}

// asList writes the lands; put gives place and size in the file's unit.
func asList(units string, put func(p listedPin) (x, y, w, h int)) string {
	s := "P  JOB  made\nP  UNITS " + units + "\n"
	for _, p := range listedPins() {
		access := 1
		if p.bottom {
			access = 2
		}
		x, y, w, h := put(p)
		s += fmt.Sprintf("327%-14s   %-6s-%-4s      A%02dX%+07dY%+07dX%04dY%04dR000 S0\n", p.net, p.ref, p.pin, access, x, y, w, h)
	}
	return s + "999\n"
}

func count(v, nm float64) int { return int(math.Round(v * 1e6 / nm)) }

// TestNetlistFrames: wherever and however a netlist lies, its names and pins
// come to the right lands; what is odd is a doubt.
func TestNetlistFrames(t *testing.T) {
	at := func(nm, dx, dy float64, mirror func(p listedPin) bool) func(p listedPin) (int, int, int, int) {
		return func(p listedPin) (int, int, int, int) {
			x := p.x + dx
			if mirror(p) {
				x = -x
			}
			return count(x, nm), count(p.y+dy, nm), count(1, nm), count(0.6, nm)
		}
	}
	no := func(listedPin) bool { return false }
	all := func(listedPin) bool { return true }
	bottom := func(p listedPin) bool { return p.bottom }
	for _, c := range []struct {
		name, list, doubt string // "": no doubt of the netlist
	}{
		{"as it is, mm", asList("CUST 1", at(1000, 0, 0, no)), ""},
		{"as it is, inch", asList("CUST 0", at(2540, 0, 0, no)), ""},
		{"SI", asList("SI", at(1000, 0, 0, no)), "taken as CUST 1"},
		{"moved", asList("CUST 1", at(1000, 100, -50, no)), ""},
		{"mirrored", asList("CUST 1", at(1000, 3, 0, all)), "only mirrored: is one of the two"},
		{"the bottom mirrored", asList("CUST 1", at(1000, 3, 7, bottom)), "bottom lands fit the board only mirrored"},
		{"mm called inch", asList("CUST 0", at(1000, 10, 0, no)), "said to be 0.0001 inch, but its places fit the board only as 0.001 mm"},
		{"inch called mm", asList("CUST 1", at(2540, 10, 0, no)), "said to be 0.001 mm, but its places fit the board only as 0.0001 inch"},
		{"a digit less", asList("CUST 1", at(10000, 0, 0, no)), "only 10 times as large"},
		{"mm called inch, the bottom mirrored", asList("CUST 0", at(1000, 10, 0, bottom)), "bottom lands fit the board only mirrored"},
	} {
		b := mustRead(t, listedSet(c.list), Options{})
		if len(b.Parts) != 24 || len(b.Netlist) != 24 || len(b.Pads) != 24 {
			t.Errorf("%s: %d parts, %d places, %d pads: %v", c.name, len(b.Parts), len(b.Netlist), len(b.Pads), b.Doubts)
			continue
		}
		want := map[string]listedPin{}
		for _, p := range listedPins() {
			want[p.ref] = p
		}
		for _, p := range b.Pads {
			x, y := p.At.MM()
			w := want[p.Ref]
			if math.Hypot(x-w.x, y-w.y) > 0.01 || (p.Layer == 1) != w.bottom || p.Pin != w.pin {
				t.Errorf("%s: pad %s at %g,%g on L%d, want %+v", c.name, p.Ref, x, y, p.Layer+1, w)
			}
		}
		if c.doubt != "" && !hasDoubt(b, "b.d356", c.doubt) {
			t.Errorf("%s: no doubt %q among %v", c.name, c.doubt, b.Doubts)
		}
		for _, d := range b.Doubts {
			if c.doubt == "" && d.File == "b.d356" {
				t.Errorf("%s: %v", c.name, d)
			}
		}
	}
	// A third of the places elsewhere: used, with a doubt.
	n := 0
	list := asList("CUST 1", func(p listedPin) (int, int, int, int) {
		if n++; n%3 == 0 {
			p.x += 0.4 + 0.1*float64(n)
		}
		return count(p.x, 1000), count(p.y, 1000), 1000, 600
	})
	b := mustRead(t, listedSet(list), Options{})
	if !hasDoubt(b, "b.d356", "only 67 % of the netlist's places") || len(b.Netlist) == 0 {
		t.Errorf("a poor fit: %v", b.Doubts)
	}
	// Cut off.
	b = mustRead(t, listedSet(strings.Replace(asList("CUST 1", at(1000, 0, 0, no)), "999\n", "", 1)), Options{})
	if !hasDoubt(b, "b.d356", "end mark (999) is missing") {
		t.Errorf("cut off: %v", b.Doubts)
	}
}
