package unit

import (
	"math"
	"testing"

	"ohmward/internal/check"
)

func TestCopper(t *testing.T) {
	// The contract rounds 1/58 to 1.7241 in the fifth digit, and the table's
	// values are rounded likewise: each may be half a last digit off.
	const rounded = 0.00005 / 1.7241
	// REFERENCES A1: IEC 60028, 1/58 ohm mm2/m.
	check.Approx(t, float64(CopperResistivity(Celsius(20))), 1/58e6, check.Tol{Rel: rounded}, "A1")
	// REFERENCES A2: R(T)/R(20).
	for _, c := range []struct{ celsius, factor float64 }{
		{25, 1.01965}, {50, 1.1179}, {70, 1.1965}, {100, 1.3144}, {0, 0.9214}, {-234.45, 0},
	} {
		check.Approx(t, CopperFactor(Celsius(c.celsius)), c.factor, check.Tol{Abs: 5e-5}, "A2")
	}
	// REFERENCES A3: an ounce per square foot at 8.89 g/cm3.
	check.Approx(t, Ounces(1), 34.33*Micrometre, check.Tol{Abs: 0.005e-6}, "A3")
	// REFERENCES A4: sheet resistance at 20 C. A5: 50 mm of 0.25 mm track.
	rho := CopperResistivity(Celsius(20))
	for _, c := range []struct{ um, mohm float64 }{
		{34.3, 0.50266}, {34.8, 0.49544}, {35, 0.49261}, {17.5, 0.98522}, {70, 0.24631},
	} {
		check.Approx(t, float64(rho)/(c.um*1e-6), c.mohm*1e-3, check.Tol{Rel: rounded, Abs: 0.000005e-3}, "A4")
	}
	for _, c := range []struct{ celsius, mohm float64 }{{20, 98.522}, {25, 100.458}} {
		rs := float64(CopperResistivity(Celsius(c.celsius))) / 35e-6
		check.Approx(t, Resistance(rs*50/0.25), Resistance(c.mohm)*Milliohm, check.Tol{Rel: rounded, Abs: 0.0005e-3}, "A5")
	}
}

func TestNamedProducts(t *testing.T) {
	check.Approx(t, Ohm(0.0187, 1), 18.7*Milliohm, check.Tol{Rel: 1e-15})
	check.Approx(t, Kelvin(293.15), Celsius(20), check.Tol{Abs: 1e-9})
}

func TestParseLength(t *testing.T) {
	for _, c := range []struct {
		in   string
		want Length
	}{
		{"35um", 35 * Micrometre}, {"35 µm", 35 * Micrometre}, {"35μm", 35 * Micrometre},
		{"1.6mm", 1.6 * Millimetre}, {" 0.3mm ", 0.3 * Millimetre}, {"2mil", 2 * Mil},
		{"1in", Inch}, {"1e-3m", Millimetre}, {"5cm", 50 * Millimetre}, {"-1nm", -Nanometre},
	} {
		got, err := ParseLength(c.in)
		if err != nil {
			t.Errorf("ParseLength(%q): %v", c.in, err)
			continue
		}
		check.Approx(t, got, c.want, check.Tol{Rel: 1e-12}, c.in)
	}
	foil, err := ParseFoil("2oz")
	if err != nil {
		t.Fatal(err)
	}
	check.Approx(t, foil, Ounces(2), check.Tol{})
}

func TestParseTemperature(t *testing.T) {
	for _, c := range []struct {
		in   string
		want Temperature
	}{{"20C", 20}, {"23.5 °C", 23.5}, {"-5C", -5}, {"293.15K", 20}} {
		got, err := ParseTemperature(c.in)
		if err != nil {
			t.Errorf("ParseTemperature(%q): %v", c.in, err)
			continue
		}
		check.Approx(t, got, c.want, check.Tol{Abs: 1e-9}, c.in)
	}
}

func TestRefused(t *testing.T) {
	length := func(s string) error { _, err := ParseLength(s); return err }
	temperature := func(s string) error { _, err := ParseTemperature(s); return err }
	current := func(s string) error { _, err := ParseCurrent(s); return err }
	reading := func(s string) error { _, err := ParseReading(s); return err }
	for _, c := range []struct {
		parse    func(string) error
		in, want string
	}{
		{length, "35", `length "35" has no unit: add one of nm, um, mm, cm, m, mil, in, as in 35um`},
		{length, "35kg", `length "35kg" has unit "kg": use one of nm, um, mm, cm, m, mil, in, as in 35um`},
		{length, "um", `length "um" is not a number with a unit: write it as 35um`},
		{length, "", `length "" is not a number with a unit: write it as 35um`},
		{length, "1e999m", `length "1e999m" is not a number with a unit: write it as 35um`},
		{temperature, "20", `temperature "20" has no unit: add one of C, K, as in 20C`},
		{temperature, "-300C", `temperature "-300C" is below absolute zero`},
		{current, "5", `current "5" has no unit: add one of uA, mA, A, as in 100mA`},
		{reading, "18.7mV", `reading "18.7mV" is not a resistance: write it as 18.7m, 0.0187, 38k or OL`},
		{reading, "", `reading "" is not a resistance: write it as 18.7m, 0.0187, 38k or OL`},
		{reading, "1,234.5", `reading "1,234.5" is not a resistance: write it as 18.7m, 0.0187, 38k or OL`},
		{reading, "1,234,5", `reading "1,234,5" is not a resistance: write it as 18.7m, 0.0187, 38k or OL`},
		{reading, "1,2m3", `reading "1,2m3" is not a resistance: write it as 18.7m, 0.0187, 38k or OL`},
		{reading, "-", `reading "-" is not a resistance: write it as 18.7m, 0.0187, 38k or OL`},
		{reading, "--1", `reading "--1" is not a resistance: write it as 18.7m, 0.0187, 38k or OL`},
		{reading, "1.2m3", `reading "1.2m3" is not a resistance: write it as 18.7m, 0.0187, 38k or OL`},
		{reading, "R", `reading "R" is not a resistance: write it as 18.7m, 0.0187, 38k or OL`},
		{reading, "NaN", `reading "NaN" is not a resistance: write it as 18.7m, 0.0187, 38k or OL`},
		{reading, "1e999", `reading "1e999" is not a resistance: write it as 18.7m, 0.0187, 38k or OL`},
	} {
		if err := c.parse(c.in); err == nil || err.Error() != c.want {
			t.Errorf("%q:\n got %v\nwant %s", c.in, err, c.want)
		}
	}
}

func TestParseReading(t *testing.T) {
	for _, c := range []struct {
		in   string
		want Resistance
	}{
		{"18.7m", 0.0187}, {"0.0187", 0.0187}, {"18m7", 0.0187}, {"18.7 mΩ", 0.0187},
		{"18.7 m\u2126", 0.0187}, {"18.7mohm", 0.0187}, {"18.7 mohms", 0.0187}, {"38k", 38e3},
		{"38K", 38e3}, {"4R7", 4.7}, {"R47", 0.47}, {"4k7", 4700}, {"1M", 1e6}, {"1e-3", 1e-3},
		{"1e-3 ohm", 1e-3}, {"470u", 470e-6}, {"470µΩ", 470e-6}, {"-0.02m", -0.02e-3},
		{"12 Ω", 12}, {"12", 12}, {"18,7m", 0.0187}, {"-0,11m", -0.11e-3}, {"-0.11m", -0.11e-3},
		{"\u22120.11 mΩ", -0.11e-3}, {"+0.11m", 0.11e-3}, {"-0m11", -0.11e-3}, {",5", 0.5}, {"-.5m", -0.5e-3},
		{"OL", Open}, {"0L", Open}, {"O.L", Open}, {"ol", Open}, {"open", Open},
	} {
		got, err := ParseReading(c.in)
		if err != nil {
			t.Errorf("ParseReading(%q): %v", c.in, err)
			continue
		}
		check.Approx(t, got, c.want, check.Tol{Rel: 1e-12}, c.in)
	}
}

func TestString(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{Resistance(0.0187).String(), "18.7 mΩ"},
		{Resistance(0.00047).String(), "0.47 mΩ"},
		{Resistance(4.7e-6).String(), "4.70 µΩ"},
		{Resistance(38e3).String(), "38.0 kΩ"},
		{Resistance(0).String(), "0 mΩ"},
		{Resistance(-0.0012345).String(), "-1.23 mΩ"},
		{Resistance(0.9999).String(), "1.00 Ω"},
		{Resistance(0.09996).String(), "100 mΩ"},
		{Resistance(2.2e6).String(), "2.20 MΩ"},
		{Open.String(), "open"},
		{(1.6 * Millimetre).String(), "1.6 mm"},
		{(35 * Micrometre).String(), "35 µm"},
		{(120 * Micrometre).String(), "0.12 mm"},
		{(12.3456 * Millimetre).String(), "12.35 mm"},
		{(800 * Nanometre).String(), "800 nm"},
		{Length(0).String(), "0 mm"},
		{Celsius(20).String(), "20 °C"},
		{Current(0.1).String(), "100 mA"},
		{Voltage(0.0025).String(), "2.5 mV"},
		{Power(1500).String(), "1.5 kW"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

// FuzzParseReading: whatever is typed, the reading is refused or is a number
// that, printed and read again, is the same to the three digits shown.
func FuzzParseReading(f *testing.F) {
	for _, s := range []string{"18.7m", "18m7", "0.0187", "38k", "OL", "4R7", "-0.02m", "1e-3", "1e-3 ohm", "R47", "µ", "-0,11m", "\u22120.11", "1,2,3"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		r, err := ParseReading(s)
		if err != nil {
			return
		}
		if math.IsNaN(float64(r)) || math.IsInf(float64(r), -1) {
			t.Fatalf("ParseReading(%q) = %g", s, float64(r))
		}
		if a := math.Abs(float64(r)); a != 0 && (a < 1e-6 || a > 1e9) {
			return // printed with fewer digits
		}
		again, err := ParseReading(r.String())
		if err != nil {
			t.Fatalf("%q printed %q: %v", s, r.String(), err)
		}
		check.Approx(t, again, r, check.Tol{Rel: 0.06}, s)
	})
}
