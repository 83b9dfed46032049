package main

import "fmt"

const channels = 8

// design lays out the FS-8: eight float switches on J1, each with a series
// resistor, a capacitor and a pull-up, read by the shift register U1, which
// answers on J2. L2 is the ground plane; L3 carries the switches' supply WET
// in its upper half and +3V3 in its lower one.
func design() *board {
	b := &board{pours: []pour{
		{"GND", 1, point{500, 500}, point{59_500, 39_500}},
		{"GND", 2, point{500, 500}, point{59_500, 39_500}},
		{"WET", 3, point{500, 24_200}, point{59_500, 39_500}},
		{"+3V3", 3, point{500, 500}, point{59_500, 23_800}},
		{"GND", 4, point{500, 500}, point{59_500, 39_500}},
	}}
	b.connectors()
	b.register()
	for k := range channels {
		b.channel(k)
		b.fanIn(k)
	}
	b.supply()
	b.logic()
	b.lamp()
	b.ground()
	return b
}

func (b *board) pad(p pad) { b.pads = append(b.pads, p) }

// size is a pad's width and height.
type size struct{ w, h int }

// chip adds a rectangular pad on L1.
func (b *board) chip(ref string, pin int, net string, at point, s size, spokes string) {
	p := pad{ref: ref, pin: fmt.Sprint(pin), net: net, at: at, form: 'R', w: s.w, h: s.h, spokes: spokes}
	b.pads = append(b.pads, p)
}

func (b *board) track(net string, layer, width int, through ...point) {
	b.tracks = append(b.tracks, track{net, layer, width, through})
}

func (b *board) via(net string, at ...point) {
	for _, p := range at {
		b.vias = append(b.vias, via{net, p, viaDrill, viaPad, layers})
	}
}

func inputNet(k int) string { return fmt.Sprintf("IN%d", k+1) }
func senseNet(k int) string { return fmt.Sprintf("SENSE%d", k+1) }

func channelX(k int) int { return 7_500 + 5_000*k }

func pinX(k int) int { return 25_555 + 1_270*k }

// connectors places J1 (terminals), J2 (header) and J3 (earthing tab).
func (b *board) connectors() {
	for k := range channels {
		b.terminal(k+1, inputNet(k))
	}
	b.terminal(9, "WET")
	b.terminal(10, "GND")
	for i, net := range []string{"+12V", "+3V3", "LATCH", "CLK", "DATA", "GND"} {
		b.pad(pad{ref: "J2", pin: fmt.Sprint(i + 1), net: net, at: point{22_000 + 2_540*i, 3_500},
			form: 'C', w: 1_700, h: 1_700, drill: 1_000, spokes: "rlud"})
	}
	b.pad(pad{ref: "J3", pin: "1", net: "GND", at: point{56_000, 20_000},
		form: 'O', w: 2_200, h: 4_200, drill: 1_000, slot: 2_000, spokes: "rlud"})
	for _, p := range []point{{4_000, 4_000}, {56_000, 4_000}, {3_500, 36_500}, {56_500, 36_500}} {
		b.mounts = append(b.mounts, hit{at: p, diameter: 3_200})
	}
}

// terminal is a pin of J1; the first is square.
func (b *board) terminal(pin int, net string) {
	form := byte('C')
	if pin == 1 {
		form = 'R'
	}
	b.pad(pad{ref: "J1", pin: fmt.Sprint(pin), net: net, at: point{channelX(pin - 1), 35_000},
		form: form, w: 2_400, h: 2_400, drill: 1_300, spokes: "rlud"})
}

// register places U1: inputs above, supply and bus below.
func (b *board) register() {
	for k := range channels {
		b.chip("U1", k+1, senseNet(k), point{pinX(k), 14_700}, size{600, 1_600}, "")
	}
	for k, net := range []string{"+3V3", "LATCH", "CLK", "DATA", "GND", "GND", "LAMP", "GND"} {
		spokes := ""
		if net == "GND" {
			spokes = "d"
		}
		b.chip("U1", 16-k, net, point{pinX(k), 9_300}, size{600, 1_600}, spokes)
	}
}

// channel places resistor R, capacitor C and pull-up R1 of one switch.
func (b *board) channel(k int) {
	x, in, sense := channelX(k), inputNet(k), senseNet(k)
	r, c, up := fmt.Sprintf("R%d", k+1), fmt.Sprintf("C%d", k+1), fmt.Sprintf("R%d", k+11)
	b.chip(r, 1, in, point{x, 30_300}, size{900, 800}, "")
	b.chip(r, 2, sense, point{x, 28_700}, size{900, 800}, "")
	b.chip(c, 1, sense, point{x, 26_400}, size{800, 900}, "")
	b.chip(c, 2, "GND", point{x + 1_600, 26_400}, size{800, 900}, "rud")
	b.chip(up, 1, sense, point{x, 24_400}, size{800, 900}, "")
	b.chip(up, 2, "+3V3", point{x - 1_600, 24_400}, size{800, 900}, "")
	b.track(in, 1, 300, point{x, 35_000}, point{x, 30_300})
	b.track(sense, 1, 200, point{x, 28_700}, point{x, 24_400})
	b.track("+3V3", 1, 300, point{x - 1_600, 24_400}, point{x - 1_600, 23_200})
	b.via("+3V3", point{x - 1_600, 23_200})
	b.via("GND", point{x + 900, 27_900})
}

// fanIn leads one switch from its pull-up to its pin of U1. Channels 2 and 7
// go by L4 and are necked there; channel 6 has square corners.
func (b *board) fanIn(k int) {
	x, pin, net := channelX(k), pinX(k), senseNet(k)
	level := []int{18_000, 19_000, 20_000, 21_000, 22_000, 22_000, 21_000, 20_000}[k]
	chamfer := 600
	if pin < x {
		chamfer = -600
	}
	down, up := point{x, 24_400}, point{pin, 14_700}
	bends := []point{{x, level + 600}, {x + chamfer, level}, {pin - chamfer, level}, {pin, level - 600}}
	switch k {
	case 1, 6:
		over, under := point{x, 23_000}, point{pin, 17_000}
		b.track(net, 1, 200, down, over)
		b.via(net, over, under)
		middle := point{(x + pin) / 2, level}
		neck := point{middle.x + 2*chamfer, level}
		b.track(net, 4, 300, over, bends[0], bends[1], middle)
		b.track(net, 4, 130, middle, neck)
		b.track(net, 4, 300, neck, bends[2], bends[3], under)
		b.track(net, 1, 200, under, up)
	case 5:
		b.track(net, 1, 200, down, point{x, level}, point{pin, level}, up)
	default:
		b.track(net, 1, 200, append(append([]point{down}, bends...), up)...)
	}
}

// supply leads +12V through fuse F1 to the plane WET, and +3V3 to U1.
func (b *board) supply() {
	fuse1, fuse2 := point{13_000, 3_500}, point{9_800, 3_500}
	b.chip("F1", 1, "+12V", fuse1, size{1_200, 1_800}, "")
	b.chip("F1", 2, "WET", fuse2, size{1_200, 1_800}, "")
	b.track("+12V", 1, 1_000, point{22_000, 3_500}, fuse1)
	b.track("WET", 1, 800, fuse2, point{9_800, 6_600})
	b.track("WET", 1, 600, point{9_000, 6_600}, point{10_600, 6_600})
	b.via("WET", point{9_000, 6_600}, point{9_800, 6_600}, point{10_600, 6_600})
	b.track("WET", 4, 600, point{9_000, 6_600}, point{10_600, 6_600})
	b.track("WET", 4, 1_000, point{9_600, 6_600}, point{9_600, 31_500})
	b.track("WET", 4, 600, point{8_800, 31_500}, point{10_400, 31_500})
	b.via("WET", point{8_800, 31_500}, point{9_600, 31_500}, point{10_400, 31_500})

	b.chip("C9", 1, "+3V3", point{22_600, 9_300}, size{900, 800}, "")
	b.chip("C9", 2, "GND", point{21_000, 9_300}, size{900, 800}, "lud")
	b.track("+3V3", 1, 300, point{pinX(0), 9_300}, point{22_600, 9_300})
	b.via("+3V3", point{24_100, 9_300})
}

// logic leads the bus to J2: LATCH with bends, CLK by L4, DATA with a neck.
func (b *board) logic() {
	b.track("LATCH", 1, 200, point{pinX(1), 9_300}, point{pinX(1), 5_500},
		point{27_080, 5_245}, point{27_080, 3_500})
	over := point{pinX(2), 7_400}
	b.track("CLK", 1, 200, point{pinX(2), 9_300}, over)
	b.via("CLK", over)
	b.track("CLK", 4, 150, over, point{pinX(2), 6_000}, point{29_620, 4_475}, point{29_620, 3_500})
	b.track("DATA", 1, 250, point{pinX(3), 9_300}, point{pinX(3), 7_500}, point{30_365, 6_500})
	b.track("DATA", 1, 120, point{30_365, 6_500}, point{31_365, 5_500})
	b.track("DATA", 1, 250, point{31_365, 5_500}, point{32_160, 4_705}, point{32_160, 3_500})
}

// lamp leads U1's lamp output through R9 to D9.
func (b *board) lamp() {
	b.chip("R9", 1, "LAMP", point{37_200, 7_600}, size{900, 800}, "")
	b.chip("R9", 2, "LAMP_A", point{38_800, 7_600}, size{900, 800}, "")
	b.chip("D9", 1, "LAMP_A", point{41_200, 7_600}, size{900, 800}, "")
	b.chip("D9", 2, "GND", point{42_800, 7_600}, size{900, 800}, "rud")
	b.track("LAMP", 1, 200, point{pinX(6), 9_300}, point{pinX(6), 7_600}, point{37_200, 7_600})
	b.track("LAMP_A", 1, 400, point{38_800, 7_600}, point{41_200, 7_600})
}

// ground stitches the pours, ties two pins of U1 to L2 by blind vias, and cuts
// a slit into L2 that keeps the switches' return off the logic.
func (b *board) ground() {
	b.via("GND", point{2_000, 20_000}, point{2_000, 30_000}, point{18_000, 6_000}, point{15_000, 10_000},
		point{20_000, 15_500}, point{40_000, 15_000}, point{48_000, 12_000}, point{58_000, 10_000},
		point{58_000, 30_000}, point{50_000, 28_000}, point{46_000, 19_000})
	for _, x := range []int{pinX(4), pinX(5)} {
		at := point{x, 11_300}
		b.vias = append(b.vias, via{"GND", at, blindDrill, blindPad, 2})
		b.track("GND", 1, 300, point{x, 9_300}, at)
	}
	b.slits = append(b.slits, track{"GND", 2, 500, []point{{18_000, 31_800}, {46_000, 31_800}}})
}
