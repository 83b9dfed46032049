package boardread

import (
	"fmt"
	"testing"
)

func TestStrayHoles(t *testing.T) {
	far := []byte("M48\nMETRIC\n;TYPE=NON_PLATED\nT1C2.000\n%\nG90\nT1\nX80.0Y5.0\nX85.0Y5.0\nM30\n")
	b := mustRead(t, put(smallBoard(), "b-npth.drl", far), Options{})
	if !hasDoubt(b, "b-npth.drl", "2 of 2 holes lie outside the board") {
		t.Errorf("doubts %v", b.Doubts)
	}
}

func TestPanelNoticed(t *testing.T) {
	plot := func(x float64) string {
		out := "D12*\n"
		for i := range 12 {
			out += pin(fmt.Sprintf("C%d", i), "1", fmt.Sprintf("N%d", i)) + flash(x+1+float64(i)*1.5, 8)
		}
		return out
	}
	set := put(smallBoard(), "b-top.gbr", gerberText("Copper,L1,Top", plot(0)+plot(22)))
	if b := mustRead(t, set, Options{}); !hasDoubt(b, "12 of 12 pins are there 2 times") && !hasDoubt(b, "a panel of 2 copies") {
		t.Errorf("repeated pins: doubts %v", b.Doubts)
	}
	set = put(set, "b-profile.gbr", gerberText("Profile,NP", "D10*\n"+box(0, 0, 20, 16)+box(22, 0, 42, 16)))
	if b := mustRead(t, set, Options{}); !hasDoubt(b, "a panel of 2 copies of a board of 20.0 x 16.0 mm") {
		t.Errorf("two outlines: doubts %v", b.Doubts)
	}
	if b := mustRead(t, put(smallBoard(), "b-profile.gbr", gerberText("Profile,NP", "D10*\n"+box(0, 0, 20, 16)+box(5, 5, 7, 8))), Options{}); hasDoubt(b, "panel") {
		t.Errorf("a window makes a panel: %v", b.Doubts)
	}
}

// A pin attribute left standing far away does not stretch a body.
func TestBodyWithoutOutliers(t *testing.T) {
	plot := "D12*\n"
	for i := range 8 {
		plot += pin("U1", fmt.Sprint(i+1), "A") + flash(5+float64(i%4)*1.2, 5+float64(i/4)*3)
	}
	plot += pin("U1", "9", "A") + flash(18, 15)
	b := mustRead(t, put(smallBoard(), "b-top.gbr", gerberText("Copper,L1,Top", plot)), Options{})
	for _, p := range b.Parts {
		if p.Ref == "U1" {
			if o := p.Body.Bounds(); o.Max.X > 10e6 || o.Max.Y > 9e6 || o.Max.X-o.Min.X < 4e6 {
				t.Errorf("body %v", o)
			}
			return
		}
	}
	t.Error("no U1")
}
