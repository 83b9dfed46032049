package excellon

import (
	"strings"

	"ohmward/format/internal/scan"
)

// survey looks through the file before it is read for what a file may not
// state: whether it ever lifts the tool, which zeros it keeps, its unit.
func (r *reader) survey(data []byte) {
	var zerosGiven, unitGiven, zeroFirst, zeroLast, short bool
	widest, largest := 0, 0.0
	for _, s := range trimmed(data) {
		if len(s) > maxLine {
			continue
		}
		s = strings.ToUpper(s)
		if s[0] == ';' {
			zerosGiven = zerosGiven || strings.Contains(s, "SUPPRESS")
			unitGiven = unitGiven || strings.Contains(s, "FORMAT={") &&
				(strings.Contains(s, "METRIC") || strings.Contains(s, "INCH"))
			continue
		}
		unitGiven = unitGiven || strings.HasPrefix(s, "INCH") || strings.HasPrefix(s, "METRIC") || s == "M71" ||
			s == "M72"
		zerosGiven = zerosGiven || strings.Contains(s, ",LZ") || strings.Contains(s, ",TZ")
		words, ok := tokens(s)
		if !ok {
			continue
		}
		for _, w := range words {
			switch w.letter {
			case 'M':
				r.lifts = r.lifts || w.value == "15" || w.value == "16" || w.value == "17"
			case 'C':
				if v, ok := scan.Decimal(w.value); ok {
					largest = max(largest, v)
				}
			case 'X', 'Y':
				d := strings.TrimLeft(w.value, "+-")
				if strings.IndexByte(d, '.') >= 0 || strings.Trim(d, "0") == "" {
					continue
				}
				short = short || widest > 0 && len(d) != widest
				widest = max(widest, len(d))
				zeroFirst = zeroFirst || d[0] == '0'
				zeroLast = zeroLast || d[len(d)-1] == '0'
			}
		}
	}
	if !zerosGiven && widest > 0 {
		r.zeros = trailing
		if zeroFirst && short && !zeroLast {
			r.zeros = leading
		}
		if short {
			r.Guess("zeros not said: %s, as the coordinates suggest", r.zeros)
		}
	}
	if !unitGiven {
		r.unit = scan.Inch
		if largest >= 0.5 {
			r.unit = scan.MM
		}
		r.Guess("unit not said; %s taken from the tool sizes", unitName(r.unit))
	}
}

func (z zeros) String() string {
	if z == leading {
		return "leading zeros kept"
	}
	return "trailing zeros kept"
}

func unitName(nm int64) string {
	if nm == scan.MM {
		return "millimetres"
	}
	return "inches"
}
