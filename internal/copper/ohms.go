package copper

import (
	"regexp"
	"strconv"
	"strings"

	"ohmward/unit"
)

// A part's value, as people write it, is read word by word. Words of other
// kinds of quantities are dropped first, so that the 1 of "1/16 W" is no ohm.
var (
	otherQuantity = regexp.MustCompile(`(?i)\d+\s*/\s*\d+\s*W\b|[±+-]*\s*\d+([.,]\d+)?\s*(%|ppm\S*|[mk]?W\b|` +
		`k?V(DC|AC)?\b|°C)`)
	decimalComma = regexp.MustCompile(`\b(\d{1,2}),(\d+)`)
	unitApart    = regexp.MustCompile(`(\d)\s+((?:milli|m|u|k|M)?(?i:ohms?)|mR|R|E)\b`)
	wordGaps     = regexp.MustCompile(`[\s,;/()\[\]_|"]+`)

	// number, prefix, unit: 5m, 0.005, 10mohm, 0R, 1k5.
	plainOhms   = regexp.MustCompile(`^(\d*\.?\d+)(milli|[munkKMG])?((?i:ohms?)|R|r|E)?$`)
	withDecimal = regexp.MustCompile(`^(\d*)([RrmkKM])(\d+)((?i:ohms?)|R)?$`)
	milliLetter = regexp.MustCompile(`^(\d+)L(\d*)$`)

	// chipSize is a chip's size, as 0402, R2512 or 01005, which is no
	// resistance; noQuantity are words that say nothing of it either.
	chipSize   = regexp.MustCompile(`^(?i:R|SMD|RES)?(01005|[0-3][0-9]{3})$`)
	noQuantity = regexp.MustCompile(`^(?i:res(istor)?|smd|smt|chip|thick|thin|metal|film|strip|shunt|current|` +
		`sense|jumper|link|wire|ohm)$`)
)

// ohmWord is what one word says of ohms.
type ohmWord struct {
	ohms float64
	bare bool // a number without a unit or prefix
}

// readOhms reads one word: "0R", "R005", "4R7", "5m", "10mohm", "4k7", "0".
// "R5" and "1E3" may mean something else and are not read.
func readOhms(w string) (ohmWord, bool) {
	if m := plainOhms.FindStringSubmatch(w); m != nil {
		v, err := strconv.ParseFloat(m[1], 64)
		if err != nil || strings.EqualFold(m[3], "E") && v != 0 || m[2] == "n" || m[2] == "u" && m[3] == "" {
			return ohmWord{}, false
		}
		return ohmWord{v * prefixes[m[2]], m[2] == "" && m[3] == ""}, true
	}
	if m := withDecimal.FindStringSubmatch(w); m != nil {
		letter := m[2]
		if letter == "r" {
			letter = "R"
		}
		if m[1] == "" && (letter != "R" || len(m[3]) < 2) {
			return ohmWord{}, false
		}
		v, err := strconv.ParseFloat("0"+m[1]+"."+m[3], 64)
		return ohmWord{ohms: v * prefixes[letter]}, err == nil
	}
	return ohmWord{}, false
}

var prefixes = map[string]float64{"": 1, "R": 1, "milli": 1e-3, "m": 1e-3, "u": 1e-6, "n": 1e-9, "k": 1e3,
	"K": 1e3, "M": 1e6, "G": 1e9}

// valueOhms reads the resistance that a resistor's value tells: the first
// word with a unit, else the only number among words that say nothing else.
// bare tells that it had no unit.
func valueOhms(value string) (r unit.Resistance, bare, ok bool) {
	if m := milliLetter.FindStringSubmatch(strings.TrimSpace(value)); m != nil { // 5L0 is 5.0 milliohms
		v, err := strconv.ParseFloat(m[1]+"."+m[2], 64)
		return unit.Resistance(v * 1e-3), false, err == nil
	}
	var numbers []float64
	unknown := false
	for _, w := range valueWords(value) {
		o, read := readOhms(w)
		switch {
		case read && !o.bare:
			return unit.Resistance(o.ohms), false, true
		case read && o.ohms == 0, read && !chipSize.MatchString(w):
			numbers = append(numbers, o.ohms)
		case !read && !chipSize.MatchString(w) && !noQuantity.MatchString(w):
			unknown = true
		}
	}
	if len(numbers) != 1 || unknown {
		return 0, false, false
	}
	return unit.Resistance(numbers[0]), true, true
}

var spellings = strings.NewReplacer("\u03a9", "ohm", "\u2126", "ohm", "µ", "u", "μ", "u", "\u00a0", " ",
	"\u202f", " ")

// valueWords are the words of a value that may tell ohms.
func valueWords(value string) []string {
	const longest = 300 // a value beyond this is prose
	value = spellings.Replace(value[:min(len(value), longest)])
	value = otherQuantity.ReplaceAllString(value, " ")
	value = decimalComma.ReplaceAllString(value, "$1.$2")
	value = unitApart.ReplaceAllString(value, "$1$2")
	var out []string
	for _, w := range wordGaps.Split(value, -1) {
		if w = strings.TrimRight(w, ".:"); w != "" {
			out = append(out, w)
		}
	}
	return out
}
