package copper

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"ohmward/internal/board"
)

// TestRailOfName: what nets are called (common practice, no source).
func TestRailOfName(t *testing.T) {
	for want, names := range map[Rail]string{
		Ground: "GND AGND DGND PGND GNDA GND2 GND_ISO ISO_GND /power/GND VSS AVSS VSSA 0V gnd EARTH SGND GROUND CHASSIS_GND",
		Supply: "+3V3 3V3 +3.3V 5V +5V +5VD 12V P3.3V P1.35V VCC VDD VDDA VBUS VBAT VBATT VIN VSYS -5V +12 -12V +1V2 V3.3 VCC_3V3 " +
			"VBUS_5V0 VDD_3V3 /+1.2V_CORE RAM_VDD PUSB_VBUS /sheet/RAM_VDDQ AVDD +3V3A VCC1",
		Signal: "SDA D+ D- TARGET_GND_DETECT EN_3V3 3V3_EN VBUS_DET VBAT_SENSE PG_5V /IOB_23B Net-(C20-Pad2) Net-(U1B-VDDUSB) " +
			"copper@C7.1 V_FB A0 P1 PA3 P0_2 CLK0 LEGEND VSYNC USB_P 5V_PG SG1 IO3 +",
	} {
		for _, name := range strings.Fields(names) {
			if got := railOfName(name); got != want {
				t.Errorf("%s is a %v, want a %v", name, got, want)
			}
		}
	}
}

// TestGuessRails: real boards without their names, with pins and without. What
// is guessed is right; a board on which nothing stands out gets no guess.
func TestGuessRails(t *testing.T) {
	for name, want := range map[string]string{
		"fomu-dvt1a": "GND +3V3 +5V", "glasgow-revc0": "GND +3V3", "ipc2581-dm0002": "GND VDD_3V3", "openrpncalc": "GND",
		"orangecrab": "GND P3.3V", "upduino-v3": "GND +3V3",
	} {
		if leftOut(name) {
			continue
		}
		known := openBoard(t, name)
		for _, pins := range []bool{true, false} {
			b := *known.Board
			b.Labels, b.Netlist = nil, nil
			if !pins {
				b.Pads, b.Parts = nil, nil
			}
			n, err := Extract(context.Background(), &b, Options{})
			if err != nil {
				t.Fatal(err)
			}
			var got []string
			for i := range n.Nets {
				if n.RailOf(i) == Signal {
					continue
				}
				p := n.Nets[i].Pieces[0]
				at := n.Layers[p.Layer][p.Polygon].Outer[0]
				s, err := known.Resolve(Place{Layer: p.Layer, At: at})
				if err != nil {
					t.Fatal(err)
				}
				real := known.Nets[s.Net].Name
				if r := railOfName(real); r != n.RailOf(i) {
					t.Errorf("%s, pins %v: %s is taken for a %v", name, pins, real, n.RailOf(i))
				}
				got = append(got, fmt.Sprint(int(n.RailOf(i)), real))
			}
			slices.Sort(got)
			for i := range got {
				got[i] = got[i][1:]
			}
			t.Logf("%s, pins %v: %v", name, pins, got)
			if pins && strings.Join(got, " ") != want || len(got) == 0 {
				t.Errorf("%s, pins %v: %v, want %s", name, pins, got, want)
			}
			if !slices.ContainsFunc(n.Doubts, func(d board.Doubt) bool { return strings.Contains(d.What, "A guess from area") }) {
				t.Errorf("%s: no word of the guess: %v", name, n.Doubts)
			}
		}
		if len(known.guessed) > 0 {
			t.Errorf("%s: guessed though it has names", name)
		}
	}
	b := rowOfLands(5)
	b.Labels = nil
	n := extract(t, b, Options{})
	if len(n.guessed) > 0 || len(n.Doubts) > 0 {
		t.Errorf("five equal lands: %v %v", n.guessed, n.Doubts)
	}
}
