package unit

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Open is what a meter's overload display stands for: no finite resistance.
var Open = Resistance(math.Inf(1))

// IsOpen tells whether the reading is an overload.
func (r Resistance) IsOpen() bool { return math.IsInf(float64(r), 1) }

var overloads = map[string]bool{
	"ol": true, "0l": true, "o.l": true, "0.l": true, "o.l.": true,
	"over": true, "overload": true, "open": true, "inf": true, "∞": true,
}

// scales are the prefixes of a reading. R stands for the decimal point of
// plain ohms, as on drawings.
var scales = map[rune]float64{
	'n': 1e-9, 'u': 1e-6, 'm': 1e-3, 'R': 1, 'k': 1e3, 'K': 1e3, 'M': 1e6, 'G': 1e9,
}

// ParseReading reads a resistance as people type what a meter shows:
// "18.7m", "0.0187", "18m7", "18.7 mohm", "4R7", "38k", "1e-3" or "OL".
// A bare number is ohms; m is milli and M is mega. The decimal sign may be a
// comma, and a minus as text programs set it is one.
func ParseReading(s string) (Resistance, error) {
	text := strings.NewReplacer("µ", "u", "μ", "u", "\u2212", "-").Replace(strings.TrimSpace(s))
	if strings.Count(text, ",") == 1 && !strings.Contains(text, ".") { // of two signs none is known
		text = strings.Replace(text, ",", ".", 1)
	}
	if overloads[strings.ToLower(text)] {
		return Open, nil
	}
	number, rest := split(text)
	if number == "" && !strings.HasPrefix(rest, "R") {
		return 0, notReading(s)
	}
	rest = withoutOhm(rest)
	scale := 1.0
	if rest != "" {
		prefix := []rune(rest)[0]
		var known bool
		if scale, known = scales[prefix]; !known {
			return 0, notReading(s)
		}
		decimals := rest[len(string(prefix)):]
		if decimals != "" {
			if strings.ContainsAny(number, ".eE") || strings.Trim(decimals, "0123456789") != "" {
				return 0, notReading(s)
			}
			number += "." + decimals
		}
	}
	x, err := strconv.ParseFloat(number, 64)
	if x *= scale; err != nil || math.IsInf(x, 0) || math.IsNaN(x) {
		return 0, notReading(s)
	}
	return FromInstrument(x)
}

// What instruments send for an overload and for a value that is not a number
// (SCPI-1999, volume 1, 7.2.1: from memory).
const (
	sentOverload = 9.9e37
	sentNaN      = 9.91e37
)

// FromInstrument takes a number of ohms as an instrument sends it: 9.9E37 is an
// overload, 9.91E37 no value.
func FromInstrument(ohms float64) (Resistance, error) {
	is := func(sent float64) bool { return math.Abs(ohms-sent) < 1e-4*sent }
	switch {
	case math.IsNaN(ohms), is(sentNaN):
		return 0, fmt.Errorf("the meter sent no value (its not-a-number): read again")
	case math.IsInf(ohms, 1), is(sentOverload):
		return Open, nil
	}
	return Resistance(ohms), nil
}

// withoutOhm takes the ohm sign (the Greek letter or the sign of its own) or
// word off the end.
func withoutOhm(s string) string {
	for _, o := range []string{"\u03a9", "\u2126", "ohms", "ohm", "Ohms", "Ohm", "OHM"} {
		if t, cut := strings.CutSuffix(s, o); cut {
			return strings.TrimSpace(t)
		}
	}
	return s
}

func notReading(s string) error {
	return fmt.Errorf("reading %q is not a resistance: write it as 18.7m, 0.0187, 38k or OL", clip(s))
}
