package main

import "strconv"

// sot23 has pins 1 and 2 on the left and 3 on the right.
func sot23() footprint {
	return smd(1400, 2900,
		pinShape{"1", -1100, 950, 1000, 600, 'R', 0},
		pinShape{"2", -1100, -950, 1000, 600, 'R', 0},
		pinShape{"3", 1100, 0, 1000, 600, 'R', 0})
}

// crystal4 is a four-pad crystal; 2 and 4 are its case.
func crystal4() footprint {
	return smd(3200, 2500,
		pinShape{"1", -1100, -850, 1300, 1100, 'R', 0},
		pinShape{"2", 1100, -850, 1300, 1100, 'R', 0},
		pinShape{"3", 1100, 850, 1300, 1100, 'R', 0},
		pinShape{"4", -1100, 850, 1300, 1100, 'R', 0})
}

// coax is a small coaxial connector: 1 inner, S1 and S2 outer.
func coax() footprint {
	return smd(2600, 2600,
		pinShape{"1", 0, -1500, 1000, 1000, 'R', 0},
		pinShape{"S1", -1500, 0, 1000, 2200, 'R', 0},
		pinShape{"S2", 1500, 0, 1000, 2200, 'R', 0})
}

// usbMicro has five contacts at the back and its shell on four tabs; the
// mouth looks towards −y.
func usbMicro() footprint {
	f := smd(7600, 5600)
	for i := range 5 {
		f.pins = append(f.pins, pinShape{strconv.Itoa(i + 1), (i - 2) * 650, 2800, 400, 1400, 'R', 0})
	}
	f.pins = append(f.pins,
		pinShape{"S1", -3200, 2600, 1600, 1600, 'R', 0},
		pinShape{"S2", 3200, 2600, 1600, 1600, 'R', 0},
		pinShape{"S3", -3700, -300, 1700, 2000, 'R', 0},
		pinShape{"S4", 3700, -300, 1700, 2000, 'R', 0})
	return f
}

// cardSocket has eight contacts and a card switch (9) under the rear of a
// metal shell. The shell stands on four outer tabs and one inner tab (S5),
// which lies 0.4 mm in front of contact 4. The mouth looks towards −y.
func cardSocket() footprint {
	f := smd(14000, 14500)
	for i := range 8 {
		f.pins = append(f.pins, pinShape{strconv.Itoa(i + 1), -3850 + 1100*i, 5600, 700, 1600, 'R', 0})
	}
	f.pins = append(f.pins,
		pinShape{"9", -5300, 5600, 700, 1600, 'R', 0},
		pinShape{"S1", -7200, 5200, 1400, 1800, 'R', 0},
		pinShape{"S2", 7200, 5200, 1400, 1800, 'R', 0},
		pinShape{"S3", -7200, -4600, 1400, 2000, 'R', 0},
		pinShape{"S4", 7200, -4600, 1400, 2000, 'R', 0},
		pinShape{"S5", -550, 3900, 1000, 1000, 'R', 0})
	return f
}
