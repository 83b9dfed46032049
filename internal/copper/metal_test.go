package copper

import (
	"fmt"
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
