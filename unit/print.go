package unit

import (
	"math"
	"strconv"
	"strings"
)

// String prints the resistance for people, with three digits: "18.7 mΩ",
// "0.47 mΩ", "38.0 kΩ"; "open" for an overload.
func (r Resistance) String() string {
	x := float64(r)
	switch a := math.Abs(x); {
	case math.IsInf(x, 0):
		return "open"
	case a == 0:
		return "0 mΩ"
	case a < 0.9995e-4:
		return three(x*1e6) + " µΩ"
	case a < 0.9995e-3:
		return strconv.FormatFloat(x*1e3, 'f', 2, 64) + " mΩ"
	case a < 0.9995:
		return three(x*1e3) + " mΩ"
	case a < 0.9995e3:
		return three(x) + " Ω"
	case a < 0.9995e6:
		return three(x/1e3) + " kΩ"
	}
	return three(x/1e6) + " MΩ"
}

// Shown prints the resistance as a meter shows it whose last digit is worth
// step: below an ohm in milliohms, with no digit finer than step; above it with
// three digits. A step of zero or less is a milliohm.
func (r Resistance) Shown(step Resistance) string {
	x, places := float64(r)*1e3, 0
	if math.Abs(x) >= 999.5 {
		return r.String()
	}
	if step > 0 {
		places = min(max(int(math.Ceil(-math.Log10(float64(step)*1e3)-1e-9)), 0), 6)
	}
	text := strconv.FormatFloat(x, 'f', places, 64)
	if strings.Trim(text, "-0.") == "" {
		text = strings.TrimPrefix(text, "-") // nothing has no sign
	}
	return text + " mΩ"
}

// String prints the length for people: "1.6 mm", "35 µm", "12.35 mm".
func (l Length) String() string {
	x := float64(l)
	switch a := math.Abs(x); {
	case a == 0:
		return "0 mm"
	case a < 0.9995e-6:
		return short(x*1e9) + " nm"
	case a < 0.09995e-3:
		return short(x*1e6) + " µm"
	case a < 0.9995:
		return short(x*1e3) + " mm"
	}
	return short(x) + " m"
}

// String prints the temperature: "20 °C".
func (t Temperature) String() string { return short(float64(t)) + " °C" }

// String prints the current: "100 mA".
func (i Current) String() string { return prefixed(float64(i), "A") }

// String prints the voltage: "2.5 mV".
func (v Voltage) String() string { return prefixed(float64(v), "V") }

// String prints the power: "50 mW".
func (p Power) String() string { return prefixed(float64(p), "W") }

// prefixed prints with a prefix from micro to kilo, trailing zeros dropped.
func prefixed(x float64, u string) string {
	switch a := math.Abs(x); {
	case a == 0:
		return "0 " + u
	case a < 0.9995e-3:
		return short(x*1e6) + " µ" + u
	case a < 0.9995:
		return short(x*1e3) + " m" + u
	case a < 0.9995e3:
		return short(x) + " " + u
	}
	return short(x/1e3) + " k" + u
}

// three prints three significant digits, trailing zeros kept, never with an
// exponent.
func three(x float64) string {
	places := 2
	switch a := math.Abs(x); {
	case a >= 99.95:
		places = 0
	case a >= 9.995:
		places = 1
	}
	return strconv.FormatFloat(x, 'f', places, 64)
}

// short prints at most four significant digits, trailing zeros dropped.
func short(x float64) string {
	r, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 4, 64), 64)
	if err != nil {
		panic("unit: number printed by strconv does not parse")
	}
	return strconv.FormatFloat(r, 'f', -1, 64)
}
