package copper

import (
	"fmt"
	"strconv"
	"strings"
	"testing"
)

func TestMetalHints(t *testing.T) {
	b := rowOfLands(6)
	for i, pin := range []string{"1", "SH", "SH"} { // a shell of several tabs on one net
		onLand(b, []int{0, 1, 1}[i], "J1", pin)
	}
	onLand(b, 1, "U1", "1")
	onLand(b, 2, "U1", "S1") // a source, not a shell
	onLand(b, 2, "J2", "MP")
	onLand(b, 1, "J2", "S1") // tabs on two nets
	onLand(b, 2, "R1", "1")
	onLand(b, 1, "SH1", "1") // a can over a part
	onLand(b, 1, "SH1", "2")
	onLand(b, 3, "J3", "SHIELD") // a tab that leads nowhere
	onLand(b, 4, "U2", "SHIELD")
	onLand(b, 4, "C1", "1")
	n := extract(t, b, Options{})
	var got []string
	for _, h := range n.MetalHints() {
		got = append(got, fmt.Sprint(h.Part, " ", n.Nets[h.Net].Name, " ", h.Pins))
	}
	if want := "[J1 N1 [SH] J2 N2 [MP] J2 N1 [S1] SH1 N1 [1 2] U2 N4 [SHIELD]]"; fmt.Sprint(got) != want {
		t.Errorf("got  %v\nwant %s", got, want)
	}
}

// TestRowsAreNoShells: a row of a connector's grid is no shell, whatever its
// letter; tabs on few nets, several on each, are.
func TestRowsAreNoShells(t *testing.T) {
	for _, c := range []struct {
		name string
		pins string // "pin=land", the lands being nets
		want string
	}{
		{"row G of a grid, many nets", "C1=0 C2=1 C3=0 C4=1 D1=0 D2=1 D3=0 D4=2 G1=0 G2=1 G3=2 G4=3 G5=4 G6=0 H1=0 H2=1 H3=1 H4=0", ""},
		{"row G of a grid, all on one net", "C1=2 C2=1 C3=3 C4=1 D1=2 D2=1 D3=3 D4=4 G1=0 G2=0 G3=0 G4=0 G5=0 H1=2 H2=3 H3=1 H4=4", ""},
		{"rows S and M, no grid", "S1=0 S2=1 S3=2 S4=3 S5=4 M1=0 M2=0 M3=1 M4=2", ""},
		{"one net with many pins, others with one", "G1=0 G2=0 G3=0 G4=0 G5=0 G6=1 G7=2 G8=3", ""},
		{"a shell of four tabs", "1=1 2=2 3=3 4=4 S1=0 S2=0 S3=0 S4=0", "N0 [S1 S2 S3 S4]"},
		{"a shell beside rows A and B", "A1=1 A2=2 A3=3 A4=4 B1=1 B2=2 B3=3 B4=4 S1=0 S2=0 S3=0 S4=0", "N0 [S1 S2 S3 S4]"},
		{"two rows of contacts and one tab", "A1=1 A2=2 B1=1 B2=2 SH=0", "N0 [SH]"},
		{"tabs of two shells", "1=2 2=3 SH1=0 SH2=0 SH3=1 SH4=1", "N0 [SH1 SH2] N1 [SH3 SH4]"},
		{"numbered tabs on many nets", "SH1=0 SH2=1 SH3=2 SH4=3 SH5=4", ""},
	} {
		b := rowOfLands(6)
		for i := range 5 {
			onLand(b, i, "U9", fmt.Sprint(i+1)) // so that no net leads nowhere
		}
		for k, f := range strings.Fields(c.pins) {
			name, land, _ := strings.Cut(f, "=")
			i, _ := strconv.Atoi(land)
			addPad(b, 0, 2*float64(i)+0.3+0.02*float64(k), 0.5, 0.2, "J1", name, -1)
		}
		n := extract(t, b, Options{})
		var got []string
		for _, h := range n.MetalHints() {
			got = append(got, fmt.Sprint(n.Nets[h.Net].Name, " ", h.Pins))
		}
		if s := strings.Join(got, " "); s != c.want {
			t.Errorf("%s: %s, want %s", c.name, s, c.want)
		}
	}
}
