package boardread

import (
	"math"
	"testing"
)

// Without a profile by name, a closed line around all lands is the outline,
// whatever its file is called; a frame far outside and a box that leaves lands
// out are not.
func TestOutlineByContent(t *testing.T) {
	bare := put(smallBoard(), "b-profile.gbr", nil)
	for _, c := range []struct {
		name, plot string
		want       float64 // mm2 of the outline; 0: the copper's box stands in
	}{
		{"a closed line", "D10*\n" + box(0, 0, 20, 16), 320},
		{"with text beside it inside", "D10*\n" + box(0, 0, 20, 16) + box(9, 1, 10, 2) + line(11, 1, 11, 3), 320},
		{"within a frame", "D10*\n" + box(-40, -40, 80, 80) + box(0, 0, 20, 16), 320},
		{"a frame alone", "D10*\n" + box(-40, -40, 80, 80), 0},
		{"a box that leaves lands out", "D10*\n" + box(0, 0, 10, 16), 0},
		{"a line that does not close", "D10*\n" + line(0, 0, 20, 0) + line(20, 0, 20, 16), 0},
	} {
		b := mustRead(t, put(bare, "b.gm13", gerberText("", c.plot)), Options{})
		stands := hasDoubt(b, "no profile file")
		if c.want == 0 && !stands || c.want != 0 && (stands || math.Abs(b.Outline.Area()*1e-12-c.want) > 1e-9) {
			t.Errorf("%s: %.3f mm2, doubts %v", c.name, b.Outline.Area()*1e-12, b.Doubts)
		}
	}
	set := put(put(smallBoard(), "b-profile.gbr", gerberText("Profile,NP", "D10*\n"+line(0, 0, 20, 0)+line(20, 0, 20, 16))),
		"b.gm2", gerberText("", "D10*\n"+box(0, 0, 20, 16)))
	if b := mustRead(t, set, Options{}); math.Abs(b.Outline.Area()*1e-12-320) > 1e-9 || hasDoubt(b, "does not close") {
		t.Errorf("beside an open profile: %.3f mm2, doubts %v", b.Outline.Area()*1e-12, b.Doubts)
	}
}
