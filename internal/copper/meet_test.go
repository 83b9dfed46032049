package copper

import (
	"strings"
	"testing"

	"ohmward/geom"
	"ohmward/internal/board"
)

// TestMeets: copper of several names is told with both and the place where they
// meet: on a layer, through copper without a name, in a plated hole. Where that
// is not known, a place of each is told.
func TestMeets(t *testing.T) {
	bar := rect(0, 0, 40, 1)
	touch := func(a, b string, at ...geom.Point) board.Contact {
		return board.Contact{Nets: [2]string{a, b}, At: [2]geom.Point{at[0], at[len(at)-1]}, File: "L1.gbr", Line: 77}
	}
	for _, c := range []struct {
		name     string
		contacts []board.Contact
		hole     bool
		names    int
		want     []string
		not      string
		line     int
	}{
		{"a contact", []board.Contact{touch("N1", "N0", mm(20, 0.5))}, false, 2, []string{"N1 and N0 touch on L1 at 20.000,0.500"}, "(L1 at", 77},
		{"through copper without a name", []board.Contact{touch("N1", "N0", mm(20, 0.5), mm(22, 0.5))}, false, 2,
			[]string{"N1 and N0 are joined on L1 by copper without a name from 20.000,0.500 to 22.000,0.500"}, "(L1 at", 77},
		{"elsewhere", []board.Contact{touch("N1", "N0", mm(20, 5))}, false, 2, []string{"N0 (L1 at 1.000,0.500)", "N1 (L1 at 39.000,0.500)"}, "touch", 2},
		{"of other nets", []board.Contact{touch("N1", "X", mm(20, 0.5))}, false, 2, []string{"N0 (L1 at"}, "touch", 2},
		{"a plated hole", nil, true, 2, []string{"N0 on L1 and N1 on L2 meet in the plated hole at 10.000,0.500"}, "(L1 at", 2},
		{"three names", []board.Contact{touch("N1", "N0", mm(10, 0.5)), touch("N2", "N1", mm(30, 0.5))}, false, 3, []string{"N1 and N0 touch", "N2 and N1 touch on L1 at 30.000,0.500"}, "(L1 at", 77},
	} {
		b := layersOf(bar, rect(0, 0, 15, 1))
		label(b, 0, 1, 0.5, "N0")
		if c.hole {
			label(b, 1, 1, 0.5, "N1")
			bore(b, 10, 0.5, 0.4, true, 0, 1)
		} else {
			label(b, 0, 39, 0.5, "N1")
		}
		if c.names == 3 {
			label(b, 0, 35, 0.5, "N2")
		}
		b.Contacts = c.contacts
		n := extract(t, b, Options{})
		if len(n.Doubts) != 1 {
			t.Errorf("%s: %v", c.name, n.Doubts)
			continue
		}
		d := n.Doubts[0]
		for _, w := range append(c.want, "a net tie, a closed jumper or a short in the data; called N0 here") {
			if !strings.Contains(d.What, w) {
				t.Errorf("%s: %q does not hold %q", c.name, d.What, w)
			}
		}
		met := n.WhereMet("N0", "N1")
		if met != n.WhereMet("N1", "N0") || (met != "") != (c.not == "(L1 at") || !strings.Contains(d.What, met) || strings.Contains(met, "N2") {
			t.Errorf("%s: they meet %q", c.name, met)
		}
		if met = n.WhereMet("N0", "N2"); c.names == 3 && (!strings.Contains(met, "N1 and N0") || !strings.Contains(met, "N2 and N1")) || c.names < 3 && met != "" {
			t.Errorf("%s: N0 and N2 meet %q", c.name, met)
		}
		if strings.Contains(d.What, c.not) || d.Line != c.line {
			t.Errorf("%s: line %d: %q", c.name, d.Line, d.What)
		}
	}
}
