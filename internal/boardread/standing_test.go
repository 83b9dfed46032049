package boardread

import (
	"fmt"
	"slices"
	"testing"

	"ohmward/internal/board"
)

// pinsOf lists a board's pads as "R1.1@L1".
func pinsOf(b *board.Board) (out []string) {
	for _, p := range b.Pads {
		out = append(out, fmt.Sprintf("%s.%s@L%d", p.Ref, p.Pin, p.Layer+1))
	}
	slices.Sort(out)
	return out
}

// Pin attributes hold until they are changed or deleted, and some writers
// leave them standing: a via, a track and a pour drawn after a pad are no pads.
func TestStandingPins(t *testing.T) {
	region := "G36*\n" + xy(2, 2) + "D02*\n" + xy(18, 2) + "D01*\n" + xy(18, 4) + "D01*\n" + xy(2, 4) + "D01*\n" + xy(2, 2) + "D01*\nG37*\n"
	pad := "D12*\n" + pin("C1", "1", "A") + flash(5, 12)
	for name, c := range map[string]struct{ after, want string }{
		"nothing after":             {"", "[C1.1@L1]"},
		"a via":                     {"D13*\n" + flash(8, 8), "[C1.1@L1]"},
		"a track":                   {"D10*\n" + line(5, 12, 9, 12), "[C1.1@L1]"},
		"a pour":                    {region, "[C1.1@L1]"},
		"a pour of another net":     {"%TO.N,GND*%\n" + region, "[C1.1@L1]"},
		"a via of another net":      {"%TO.N,GND*%\nD13*\n" + flash(8, 8), "[C1.1@L1]"},
		"a second pad of the pin":   {flash(9, 12), "[C1.1@L1 C1.1@L1]"},
		"the next pin":              {pin("C1", "2", "B") + flash(7, 12), "[C1.1@L1 C1.2@L1]"},
		"deleted, then a flash":     {"%TD.P*%\n" + flash(9, 12), "[C1.1@L1]"},
		"all deleted, then a flash": {"%TD*%\n" + flash(9, 12), "[C1.1@L1]"},
		"the pin's land twice":      {flash(5, 12), "[C1.1@L1]"},
	} {
		set := put(smallBoard(), "b-top.gbr", gerberText("Copper,L1,Top", pad+c.after))
		set = put(set, "b-bottom.gbr", gerberText("Copper,L2,Bot", "D10*\n"+line(1, 1, 3, 1)))
		if got := fmt.Sprint(pinsOf(mustRead(t, set, Options{}))); got != c.want {
			t.Errorf("%s: %s, want %s", name, got, c.want)
		}
	}
}

// One reference on both sides is one part, on the side of most of its lands;
// pins of several lands, and lands on no net, stay.
func TestOddParts(t *testing.T) {
	top := "D12*\n" + pin("J1", "1", "A") + flash(3, 3) + pin("J1", "2", "B") + flash(5, 3) + pin("J1", "MP", "") + flash(2, 5) + flash(6, 5) +
		pin("U1", "9", "G") + flash(10, 10) + flash(11.5, 10) + pin("U1", "1", "") + flash(13, 10)
	bottom := "D12*\n" + pin("J1", "3", "A") + flash(3, 3) + pin("R9", "1", "A") + flash(15, 3) + pin("R9", "2", "B") + flash(17, 3)
	set := put(put(smallBoard(), "b-top.gbr", gerberText("Copper,L1,Top", top)), "b-bottom.gbr", gerberText("Copper,L2,Bot", bottom))
	b := mustRead(t, put(set, "b.drl", nil), Options{})
	var got []string
	for _, p := range b.Parts {
		got = append(got, fmt.Sprintf("%s %d %d", p.Ref, p.Side, len(p.Pads)))
	}
	if want := "[J1 0 5 R9 1 2 U1 0 3]"; fmt.Sprint(got) != want {
		t.Errorf("parts %v, want %s", got, want)
	}
}
