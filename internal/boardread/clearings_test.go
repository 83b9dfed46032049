package boardread

import "testing"

// A pour's label does not stand where the pour was cleared and another net's
// track was painted.
func TestLabelUnderClearance(t *testing.T) {
	pour := "G36*\n" + xy(0, 0) + "D02*\n" + xy(20, 0) + "D01*\n" + xy(20, 16) + "D01*\n" + xy(0, 16) + "D01*\n" + xy(0, 0) + "D01*\nG37*\n"
	top := "%TO.N,GND*%\n" + pour + "%TD*%\n%LPC*%\nD11*\n" + line(0, 8, 20, 8) + "%LPD*%\n%TO.N,CLK*%\nD10*\n" + line(1, 8, 19, 8)
	b := mustRead(t, put(smallBoard(), "b-top.gbr", gerberText("Copper,L1,Top", top)), Options{})
	seen := 0
	for _, l := range b.Labels {
		if l.Layer != 0 {
			continue
		}
		seen++
		if off := abs(l.At.Y-8e6) < 800_000; off != (l.Net == "CLK") {
			t.Errorf("label %s stands at %s", l.Net, place(l.At))
		}
	}
	if seen != 2 {
		t.Errorf("%d labels on top", seen)
	}
}
