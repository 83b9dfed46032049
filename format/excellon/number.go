package excellon

import (
	"math"
	"strconv"
	"strings"

	"ohmward/geom"
)

// Nanometres in one unit of the file.
const (
	nmPerMM   = 1_000_000
	nmPerInch = 25_400_000
)

// zeros says which zeros a file keeps.
type zeros uint8

const (
	unsaid   zeros = iota
	leading        // LZ: leading zeros kept, trailing ones omitted
	trailing       // TZ: trailing zeros kept, leading ones omitted
)

// decimal parses a plain signed decimal number without exponent.
func decimal(s string) (float64, bool) {
	if s == "" || strings.Trim(s, "0123456789+-.") != "" {
		return 0, false
	}
	v, err := strconv.ParseFloat(s, 64)
	return v, err == nil && !math.IsInf(v, 0)
}

// length turns a coordinate or distance into nanometres.
func (r *reader) length(s string) (int64, error) {
	v, ok := decimal(s)
	if !ok {
		return 0, r.malformed("malformed number %q", shorten(s))
	}
	if strings.IndexByte(s, '.') < 0 {
		r.implied = true
		digits := strings.TrimLeft(s, "+-")
		scale := r.frac()
		if r.zeros == leading {
			scale = len(digits) - r.whole()
		}
		v /= math.Pow10(scale)
	}
	v *= float64(r.unit)
	if math.Abs(v) > 2*geom.MaxCoord {
		return 0, r.malformed("coordinate %s lies beyond a metre", shorten(s))
	}
	return int64(math.Round(v)), nil
}

// whole and frac are the digits before and after the point; unless the file
// says, 2.4 in inches and 3.3 in millimetres.
func (r *reader) whole() int {
	switch {
	case r.digits[0]+r.digits[1] > 0:
		return r.digits[0]
	case r.unit == nmPerInch:
		return 2
	}
	return 3
}

func (r *reader) frac() int {
	switch {
	case r.digits[0]+r.digits[1] > 0:
		return r.digits[1]
	case r.unit == nmPerInch:
		return 4
	}
	return 3
}

func shorten(s string) string {
	if len(s) > 40 {
		return strings.ToValidUTF8(s[:40], "") + "..."
	}
	return s
}
