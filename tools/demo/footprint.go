package main

import "strconv"

// pinShape is one pad of a footprint about the part's origin, micrometres.
type pinShape struct {
	pin        string
	x, y, w, h int
	form       rune
	drill      int
}

// footprint is a land pattern with the part's body.
type footprint struct {
	pins         []pinShape
	bodyW, bodyH int
	mount        string // SMD, TH, Fiducial or Other (.CMnt)
	function     string // .AperFunction of its pads
	paste        bool
	bare         bool // no body: test points, fiducials
}

const surface = "SMDPad,CuDef"

// smd makes a surface-mounted footprint.
func smd(bodyW, bodyH int, pins ...pinShape) footprint {
	return footprint{pins: pins, bodyW: bodyW, bodyH: bodyH, mount: "SMD", function: surface, paste: true}
}

// twoPad is a part with pads 1 and 2 left and right of its middle.
func twoPad(x, w, h, bodyW, bodyH int) footprint {
	return smd(bodyW, bodyH,
		pinShape{"1", -x, 0, w, h, 'R', 0}, pinShape{"2", x, 0, w, h, 'R', 0})
}

// dual is a part with pins down the left side and up the right side.
func dual(n, pitch, x, w, h, bodyW, bodyH int) footprint {
	f := smd(bodyW, bodyH)
	half := n / 2
	for i := range n {
		row, px := i, -x
		if i >= half {
			row, px = n-1-i, x
		}
		y := (half-1)*pitch/2 - row*pitch
		f.pins = append(f.pins, pinShape{strconv.Itoa(i + 1), px, y, w, h, 'R', 0})
	}
	return f
}

// quad is a part with pins on four sides, counter-clockwise from the top of
// the left side.
func quad(n, pitch, reach, long, wide, body int) footprint {
	f := smd(body, body)
	side := n / 4
	span := (side - 1) * pitch
	for i := range n {
		step := (i%side)*pitch - span/2
		p := pinShape{pin: strconv.Itoa(i + 1), w: wide, h: long, form: 'O'}
		switch i / side {
		case 0:
			p.x, p.y, p.w, p.h = -reach, -step, long, wide
		case 1:
			p.x, p.y = step, -reach
		case 2:
			p.x, p.y, p.w, p.h = reach, step, long, wide
		case 3:
			p.x, p.y = -step, reach
		}
		f.pins = append(f.pins, p)
	}
	return f
}

// inline is a through-hole connector with n pins in a row; pin 1 is square.
func inline(n, pitch, pad, drill, bodyW, bodyH int) footprint {
	f := footprint{bodyW: bodyW, bodyH: bodyH, mount: "TH", function: "ComponentPad"}
	for i := range n {
		form := 'C'
		if i == 0 {
			form = 'R'
		}
		x := i*pitch - (n-1)*pitch/2
		f.pins = append(f.pins, pinShape{strconv.Itoa(i + 1), x, 0, pad, pad, form, drill})
	}
	return f
}

// dot is a bare round land.
func dot(diameter int, function, mount string) footprint {
	return footprint{
		pins:  []pinShape{{"1", 0, 0, diameter, diameter, 'C', 0}},
		bodyW: diameter, bodyH: diameter, mount: mount, function: function, bare: true,
	}
}

// footprints are the land patterns of the demo, by plain names.
var footprints = map[string]footprint{
	"0402":     twoPad(550, 600, 600, 1000, 500),
	"0603":     twoPad(850, 800, 950, 1600, 800),
	"0805":     twoPad(1050, 1000, 1400, 2000, 1250),
	"1206":     twoPad(1650, 1100, 1800, 3200, 1600),
	"SOD123":   twoPad(1650, 1000, 1200, 2700, 1600),
	"IND4":     twoPad(1700, 1300, 3600, 4000, 4000),
	"XTAL2":    twoPad(1300, 1000, 1800, 3200, 1500),
	"BUTTON":   twoPad(2600, 1400, 1600, 3600, 3000),
	"XTAL4":    crystal4(),
	"SOT23":    sot23(),
	"SOT23-6":  dual(6, 950, 1300, 1000, 600, 1600, 2900),
	"SO8":      dual(8, 1270, 2700, 1500, 600, 3900, 4900),
	"TSSOP16":  dual(16, 650, 2900, 1400, 400, 4400, 5000),
	"QFP48":    quad(48, 500, 4200, 1400, 280, 7000),
	"RADIO16":  dual(16, 1600, 7500, 2000, 1000, 15000, 16000),
	"COAX":     coax(),
	"USBMICRO": usbMicro(),
	"CARD":     cardSocket(),
	"BATT2":    inline(2, 2500, 1800, 1000, 7500, 6000),
	"SCREW4":   inline(4, 3500, 2400, 1200, 14500, 7000),
	"TP":       dot(1500, "TestPad", "Other"),
	"FID":      dot(1000, "FiducialPad,Global", "Fiducial"),
}
