package copper

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"ohmward/geom"
	"ohmward/internal/board"
)

// What a value says of ohms (common practice, no source).
func TestValueOhms(t *testing.T) {
	for value, want := range map[string]float64{
		"0": 0, "0R": 0, "0r": 0, "0R0": 0, "000": 0, "0.0": 0, "0E": 0, "0Ω": 0, "0 \u2126": 0, "0 ohm": 0, "0OHM": 0, "0 Ohms": 0,
		"0402, 0 Ω": 0, "0402, 0": 0, "0R 0402": 0, "RES 0R 5% 0402": 0, "RES SMD 0 OHM JUMPER 1/16W 0402": 0, "0/0603": 0, "0, 1/10W, 5 %": 0,
		"R005": 0.005, "R10": 0.1, "0R005": 0.005, "0R22": 0.22, "1R0": 1, "4R7": 4.7, "4r7": 4.7, "1R": 1, "0.005": 0.005, ".01": 0.01, "0,005 Ohm": 0.005, "0.02/1%": 0.02, "0R1 1W": 0.1,
		"5m": 0.005, "5mR": 0.005, "10mΩ": 0.01, "10 mohm": 0.01, "10mOhm 1%": 0.01, "2 milliohm": 0.002, "4m7": 0.0047, "500uohm": 0.0005, "5L0": 0.005, "10m 2512 1% 2W": 0.01, "SHUNT 0.01 2512": 0.01,
		"10k": 1e4, "10K": 1e4, "4k7": 4700, "5M": 5e6, "5MOhm": 5e6, "5MOHM": 5e6, "100": 100, "600R": 600, "22ohm": 22, "1k 0.1%": 1000, "0201, 1.5k, 1/16W, 1%": 1500, "0603 4k7 0.1 %": 4700,
	} {
		got, _, ok := valueOhms(value)
		if !ok || math.Abs(float64(got)-want) > 1e-12+1e-9*want {
			t.Errorf("%q: %v %v, want %g", value, float64(got), ok, want)
		}
	}
	for _, value := range []string{
		"", "R", "R5", "DNP", "OL", "0402", "1E3", "1/16W", "0.5W", "5%", "5mA", "5mW", "10nF", "0.1u", "0.1uF", "25MHz", "BLM18AG601", "NTC", "?", "1 2", "0.1 whatever", "m", "10uH", "5n", "3.3V", "trim", "-5",
	} {
		if got, _, ok := valueOhms(value); ok {
			t.Errorf("%q is read as %v", value, got)
		}
	}
}

// What reference and value tell of a part (common practice, no source). The
// last lists must stay unrecognised.
func TestRecognise(t *testing.T) {
	for _, c := range []struct {
		ref, value, kind string
		ohms             float64
	}{
		{"R7", "0", "link", 0.01}, {"R7", "0R", "link", 0.01}, {"R7", "0402, 0 Ω", "link", 0.01}, {"C7", "0R", "link", 0.01}, {"L2", "0R", "link", 0.01}, {"FB2", "0", "link", 0.01}, {"F2", "0 ohm", "link", 0.01}, {"JP1", "0R", "link", 0.01}, {"RN3", "0R", "link", 0.01}, {"CH1_R7", "0R", "link", 0.01}, {"R_7", "0R", "link", 0.01},
		{"R7", "RC0402JR-070RL", "link", 0.01}, {"R7", "CRCW04020000Z0ED", "link", 0.01}, {"R7", "ERJ-2GE0R00X", "link", 0.01}, {"LK1", "wire link", "link", 0.01}, {"SJ1", "closed", "link", 0.01},
		{"R7", "R005", "shunt", 0.005}, {"R7", "5mR", "shunt", 0.005}, {"RS1", "0.02/1%", "shunt", 0.02}, {"R7", "0R1 1W", "shunt", 0.1}, {"R7", "10 mohm", "shunt", 0.01}, {"R7", "5m", "shunt", 0.005}, {"RSENSE1", "50mΩ", "shunt", 0.05}, {"R7", "WSL2512R0050FEA", "shunt", 0.005}, {"SH1", "2mR", "shunt", 0.002},
		{"FB1", "600R@100MHz", "bead", 0.1}, {"FB1", "", "bead", 0.1}, {"FB1", "220 2A 100MHz", "bead", 0.1}, {"FB1", "1k", "bead", 0.1}, {"R5", "600R@100MHz", "bead", 0.1}, {"L5", "120 ohm at 100 MHz", "bead", 0.1}, {"L5", "600R", "bead", 0.1}, {"L5", "BLM18AG601", "bead", 0.1}, {"E1", "1k @ 100MHz", "bead", 0.1}, {"R5", "ferrite", "bead", 0.1}, {"FL1", "220Ω/100MHz", "bead", 0.1}, {"FB1", "600R@100MHz, DCR 0.3R", "bead", 0.3},
		{"L3", "10uH", "inductor", 0.1}, {"L3", "", "inductor", 0.1}, {"L3", "2.2 µH 1.5A", "inductor", 0.1}, {"L3", "2u2", "inductor", 0.1}, {"L3", "33nH", "inductor", 0.05}, {"L3", "100n", "inductor", 0.05}, {"L3", "100uH", "inductor", 0.4}, {"L3", "1mH", "inductor", 2}, {"L3", "4,7uH DCR 25mOhm", "inductor", 0.025},
		{"F1", "", "fuse", 0.05}, {"F1", "0.5 A fuse", "fuse", 0.05}, {"F1", "500mA PTC", "fuse", 0.2}, {"F1", "100mA", "fuse", 0.5}, {"PTC1", "100mA resettable", "fuse", 1}, {"R9", "PTC 500mA", "fuse", 0.2}, {"FUSE3", "1A", "fuse", 0.05},
		{"JP1", "", "jumper", 0.01}, {"SB4", "open", "jumper", 0.01}, {"NT1", "", "net tie", 0.01},

		{"R7", "10k", "", 0}, {"R7", "10k 1 %", "", 0}, {"R7", "600R", "", 0}, {"R7", "1 kohm 0.1 %", "", 0}, {"R7", "OL", "", 0}, {"R7", "", "", 0}, {"R7", "22", "", 0}, {"R7", "DNP", "", 0}, {"R7", "R7", "", 0}, {"R22", "R22", "", 0}, {"R7", "2R2", "", 0}, {"R7", "5M", "", 0}, {"R7", "10MOHM", "", 0}, {"R7", "0.1uF", "", 0}, {"R7", "PTC 1k", "", 0}, {"R7", "0402", "", 0}, {"R7", "1%", "", 0}, {"R7", "ERJ-2RKF1002X", "", 0}, {"R7", "RC0402FR-0710KL", "", 0},
		{"LED1", "red", "", 0}, {"L1", "LED", "", 0}, {"L1", "green", "", 0}, {"L1", "13.56MHz", "", 0}, {"L1", "10mH", "", 0}, {"L1", "100nF", "", 0},
		{"C1", "0", "", 0}, {"C1", "100n", "", 0}, {"C1", "5m", "", 0}, {"FID1", "", "", 0}, {"F1", "fiducial", "", 0}, {"FL1", "", "", 0}, {"ANT1", "50ohm 868MHz", "", 0},
		{"Y1", "25MHz", "", 0}, {"X1", "16MHz 30R", "", 0}, {"Y2", "0R", "", 0}, {"U3", "0R", "", 0}, {"Q1", "5m", "", 0}, {"TP3", "", "", 0}, {"SH1", "", "", 0}, {"RT1", "NTC 5R", "", 0}, {"RV1", "0.5", "", 0}, {"J3", "", "", 0}, {"", "", "", 0}, {"7", "0", "", 0},
	} {
		got := recognise(c.ref, c.value)
		if got.kind != c.kind || math.Abs(float64(got.ohms)-c.ohms) > 1e-12 || (got.kind != "") != (got.sigma > 0 && got.why != "") {
			t.Errorf("%s %q: %+v, want %q %v", c.ref, c.value, got, c.kind, c.ohms)
		}
		if got.open != (c.kind == "jumper" || c.kind == "net tie") {
			t.Errorf("%s %q: open %v", c.ref, c.value, got.open)
		}
	}
}

func TestTies(t *testing.T) {
	b := layersOf(append(rect(0, 0, 1, 1), append(rect(2, 0, 3, 1), rect(4, 0, 5, 1)...)...))
	addPad(b, 0, 0.5, 0.5, 1, "FB1", "1", -1)
	addPad(b, 0, 2.5, 0.5, 1, "FB1", "2", -1)
	addPad(b, 0, 2.5, 0.5, 1, "L1", "1", -1)
	addPad(b, 0, 2.4, 0.5, 1, "L1", "2", -1) // both on one net
	n := extract(t, b, Options{})
	ties := n.Ties()
	if len(ties) != 1 || ties[0].Part != "FB1" || ties[0].NetA == ties[0].NetB || ties[0].PinB != "FB1.2" {
		t.Fatalf("ties %+v", ties)
	}
	if got := fmt.Sprint(n.Groups(ties)); got != "[[0] [1 2]]" {
		t.Errorf("groups %s", got)
	}
	if got := fmt.Sprint(n.Groups(nil)); got != "[[0] [1] [2]]" {
		t.Errorf("groups without ties %s", got)
	}
}

// rowOfLands is a board of n lands of 1 mm, 2 mm apart, each a net of its own.
func rowOfLands(n int) *board.Board {
	var copper geom.Region
	for i := range n {
		copper = append(copper, rect(2*float64(i), 0, 2*float64(i)+1, 1)...)
	}
	b := layersOf(copper)
	for i := range n {
		label(b, 0, 2*float64(i)+0.1, 0.1, fmt.Sprintf("N%d", i))
	}
	return b
}

// onLand adds a pad of a part on a land.
func onLand(b *board.Board, land int, ref, pin string) {
	addPad(b, 0, 2*float64(land)+0.5, 0.5, 0.8, ref, pin, -1)
}

func tiesAsText(n *Nets, ties []Tie) string {
	var out []string
	for _, t := range ties {
		s := fmt.Sprintf("%s %s-%s", t.Part, n.Nets[t.NetA].Name, n.Nets[t.NetB].Name)
		if t.Open {
			s += " open"
		}
		out = append(out, s)
	}
	return strings.Join(out, ", ")
}

func TestTiedPins(t *testing.T) {
	b := rowOfLands(10)
	for i := range 8 { // an array of links: 1 faces 8
		onLand(b, i, "RN1", fmt.Sprint(i+1))
	}
	onLand(b, 0, "L1", "1") // a coil with a land that leads nowhere
	onLand(b, 1, "L1", "2")
	onLand(b, 9, "L1", "3")
	onLand(b, 0, "F1", "1") // clips of two pins each
	onLand(b, 0, "F1", "2")
	onLand(b, 2, "F1", "3")
	onLand(b, 2, "F1", "4")
	onLand(b, 0, "L2", "1") // two windings: the files do not tell which
	onLand(b, 1, "L2", "2")
	onLand(b, 2, "L2", "3")
	onLand(b, 3, "L2", "4")
	onLand(b, 3, "R1", "1") // not fitted
	onLand(b, 4, "R1", "2")
	onLand(b, 3, "JP1", "1")
	onLand(b, 4, "JP1", "2")
	onLand(b, 5, "FB1", "1") // one net
	onLand(b, 5, "FB1", "2")
	onLand(b, 5, "FB2", "1") // one pin
	values := map[string]string{"RN1": "0R", "R1": "0R"}
	for i := range b.Parts {
		b.Parts[i].Value = values[b.Parts[i].Ref]
		b.Parts[i].Absent = b.Parts[i].Ref == "R1"
	}
	n := extract(t, b, Options{})
	want := "RN1 N0-N7, RN1 N1-N6, RN1 N2-N5, RN1 N3-N4, L1 N0-N1, F1 N0-N2"
	if got := tiesAsText(n, n.Ties()); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	if got := tiesAsText(n, n.LowOhmParts()); got != want+", JP1 N3-N4 open" {
		t.Errorf("with what may be closed: %s", got)
	}
}

func TestEditTies(t *testing.T) {
	b := rowOfLands(6)
	onLand(b, 0, "FB1", "1")
	onLand(b, 1, "FB1", "2")
	onLand(b, 1, "JP1", "1")
	onLand(b, 2, "JP1", "2")
	onLand(b, 2, "Q1", "1")
	onLand(b, 3, "Q1", "2")
	onLand(b, 4, "Q1", "3")
	onLand(b, 5, "R1", "1")
	onLand(b, 5, "R1", "2")
	n := extract(t, b, Options{})
	edits := []TieEdit{{Part: "JP1", Ohms: 0.002}, {Part: "FB1", Ohms: 0.3, Sigma: 0.5}, {Pins: [2]string{"Q1.2", "Q1.3"}, Ohms: 0.05}}
	got, err := n.EditTies(n.LowOhmParts(), edits)
	if err != nil || tiesAsText(n, got) != "FB1 N0-N1, JP1 N1-N2, Q1 N3-N4" || got[0].Ohms != 0.3 || got[0].Sigma != 0.5 || got[0].Kind != "bead" || got[1].Ohms != 0.002 || got[1].Sigma != givenSigma {
		t.Errorf("%s %v: %+v", tiesAsText(n, got), err, got)
	}
	if g := fmt.Sprint(n.Groups(got)); g != "[[0 1 2] [3 4] [5]]" {
		t.Errorf("groups %s", g)
	}
	if got, err = n.EditTies(n.LowOhmParts(), []TieEdit{{Part: "FB1", Open: true}}); err != nil || tiesAsText(n, got) != "FB1 N0-N1 open, JP1 N1-N2 open" {
		t.Errorf("%s %v", tiesAsText(n, got), err)
	}
	for _, c := range []struct {
		edit TieEdit
		want string
	}{
		{TieEdit{Part: "FB11"}, `no part "FB11" on the board to join nets` + "\ndid you mean FB1?"},
		{TieEdit{Part: "R1"}, "R1 does not lie between two nets, so that it joins none"},
		{TieEdit{Part: "Q1"}, "Q1 lies on 3 nets\nname the two pins that it joins, as Q1.1,Q1.2"},
		{TieEdit{Pins: [2]string{"Q1.2", "Q1.9"}}, `no pin "Q1.9" on the board to join nets`},
		{TieEdit{Pins: [2]string{"R1.1", "R1.2"}}, "R1.1 and R1.2 are on one net already"},
	} {
		if _, err := n.EditTies(nil, []TieEdit{c.edit}); err == nil || err.Error() != c.want {
			t.Errorf("%+v: %v, want %s", c.edit, err, c.want)
		}
	}
}
