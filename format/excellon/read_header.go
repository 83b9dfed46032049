package excellon

import (
	"strings"

	"ohmward/format/fault"
	"ohmward/format/internal/scan"
)

// keyword runs a line that is a word of the header; it tells whether it was.
func (r *reader) keyword(s string) bool {
	fields := strings.Split(s, ",")
	switch fields[0] {
	case "%":
		r.header = false
	case "METRIC", "INCH":
		r.setUnit(fields)
	case "FMAT":
		if len(fields) > 1 && fields[1] == "1" {
			r.Warn("format 1 commands (FMAT,1) are read as format 2")
		}
	case "ICI":
		r.incremental = len(fields) < 2 || fields[1] != "OFF"
	case "LZ":
		r.zeros = leading
	case "TZ":
		r.zeros = trailing
	case "DETECT", "ATC", "VER", "VCI", "TCST", "AFS", "CCW", "CP", "DN", "DTMDIST", "FSB",
		"NCSL", "OM48", "OSTOP", "OTCLMP", "PCKPARAM", "PF", "PLA", "SBK", "SG", "SIXM",
		"UP", "ZA", "ZC", "ZL":
	default:
		return false
	}
	return true
}

// setUnit handles METRIC and INCH with zeros and a digit pattern in any order.
func (r *reader) setUnit(fields []string) {
	r.unit = scan.Inch
	if fields[0] == "METRIC" {
		r.unit = scan.MM
	}
	for _, f := range fields[1:] {
		switch f = strings.TrimSpace(f); {
		case f == "LZ":
			r.zeros = leading
		case f == "TZ":
			r.zeros = trailing
		case strings.Trim(f, "0.") == "" && strings.Count(f, ".") == 1:
			before, after, _ := strings.Cut(f, ".")
			r.setDigits(len(before), len(after))
		default:
			r.Warn("unknown word %q beside the unit ignored", fault.Short(f))
		}
	}
}

func (r *reader) setDigits(before, after int) {
	if before+after < 1 || before > 9 || after > 9 {
		r.Warn("digits %d.%d ignored", before, after)
		return
	}
	r.digits = [2]int{before, after}
}
