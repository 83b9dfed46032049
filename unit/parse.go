package unit

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// named is one unit as typed, and its size in SI.
type named struct {
	name string
	size float64
}

var lengthUnits = []named{
	{"nm", 1e-9}, {"um", 1e-6}, {"mm", 1e-3}, {"cm", 1e-2}, {"m", 1},
	{"mil", float64(Mil)}, {"in", float64(Inch)},
}

// ParseLength reads a length with its unit, as "35um", "1.6 mm" or "2mil".
// The unit is compulsory.
func ParseLength(s string) (Length, error) {
	x, err := parse("length", s, "35um", lengthUnits)
	return Length(x), err
}

// ParseFoil reads a copper thickness: a length, or ounces as "1oz".
func ParseFoil(s string) (Length, error) {
	units := append([]named{{"oz", float64(Ounces(1))}}, lengthUnits...)
	x, err := parse("copper thickness", s, "35um", units)
	return Length(x), err
}

// CheckLength tells what is wrong with a length, typed as text, that does not
// lie between least and most, and asks for the one that a slip of a thousand
// turns it into, where that lies well inside.
func CheckLength(text string, l, least, most Length) error {
	const rounding = 1e-9 // 0.1mm is 100um
	within := func(l, by Length) bool { return l >= least*by*(1-rounding) && l <= most/by*(1+rounding) }
	if within(l, 1) {
		return nil
	}
	ask := ""
	for _, slip := range []Length{1e-3, 1e3} {
		if within(l*slip, 5) {
			ask = fmt.Sprintf(": did you mean %v", l*slip)
		}
	}
	return fmt.Errorf("%q is out of range (%v to %v)%s", clip(text), least, most, ask)
}

// ParseTemperature reads a temperature with its unit, as "20C" or "293K".
func ParseTemperature(s string) (Temperature, error) {
	clean := strings.Replace(s, "°", "", 1)
	x, err := parse("temperature", clean, "20C", []named{{"C", 1}, {"K", 1}})
	if err != nil {
		return 0, err
	}
	t := Celsius(x)
	if strings.HasSuffix(strings.TrimSpace(clean), "K") {
		t = Kelvin(x)
	}
	if t < Kelvin(0) {
		return 0, fmt.Errorf("temperature %q is below absolute zero", s)
	}
	return t, nil
}

// ParseCurrent reads a current with its unit, as "100mA".
func ParseCurrent(s string) (Current, error) {
	x, err := parse("current", s, "100mA", []named{{"uA", 1e-6}, {"mA", 1e-3}, {"A", 1}})
	return Current(x), err
}

// parse reads a number and one of the units.
func parse(what, s, example string, units []named) (float64, error) {
	number, name := split(strings.TrimSpace(s))
	for _, r := range []string{"µ", "μ"} {
		name = strings.Replace(name, r, "u", 1)
	}
	x, err := strconv.ParseFloat(number, 64)
	if err != nil || math.IsInf(x, 0) || math.IsNaN(x) {
		return 0, fmt.Errorf("%s %q is not a number with a unit: write it as %s", what, clip(s), example)
	}
	for _, u := range units {
		if u.name == name {
			return x * u.size, nil
		}
	}
	if name == "" {
		return 0, fmt.Errorf("%s %q has no unit: add one of %s, as in %s", what, clip(s), list(units), example)
	}
	return 0, fmt.Errorf("%s %q has unit %q: use one of %s, as in %s", what, clip(s), clip(name), list(units),
		example)
}

// split parts a number from what follows it. An exponent belongs to the
// number only when digits follow it.
func split(s string) (number, rest string) {
	i := 0
	for i < len(s) && strings.IndexByte("+-.0123456789", s[i]) >= 0 {
		i++
	}
	if j := i; i > 0 && j < len(s) && (s[j] == 'e' || s[j] == 'E') {
		if j++; j < len(s) && (s[j] == '+' || s[j] == '-') {
			j++
		}
		digits := j
		for j < len(s) && s[j] >= '0' && s[j] <= '9' {
			j++
		}
		if j > digits {
			i = j
		}
	}
	return s[:i], strings.TrimSpace(s[i:])
}

// list names the units for a message.
func list(units []named) string {
	names := make([]string, len(units))
	for i, u := range units {
		names[i] = u.name
	}
	return strings.Join(names, ", ")
}

// clip shortens a text from outside for a message.
func clip(s string) string {
	const most = 40
	if r := []rune(s); len(r) > most {
		return string(r[:most]) + "…"
	}
	return s
}
