package excellon

import (
	"math"
	"strings"

	"ohmward/format/fault"
	"ohmward/format/internal/scan"
	"ohmward/geom"
)

// zeros says which zeros a file keeps.
type zeros uint8

const (
	zerosUnknown zeros = iota
	leading            // LZ: leading zeros kept, trailing ones omitted
	trailing           // TZ: trailing zeros kept, leading ones omitted
)

// length turns a coordinate or distance into nanometres.
func (r *reader) length(s string) int64 {
	v, ok := scan.Decimal(s)
	if !ok {
		panic(r.Malformed("malformed number %q", fault.Short(s)))
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
		panic(r.Malformed("coordinate %s lies beyond a metre", fault.Short(s)))
	}
	return int64(math.Round(v))
}

// whole and frac are the digits before and after the point; unless the file
// says, 2.4 in inches and 3.3 in millimetres.
func (r *reader) whole() int {
	switch {
	case r.digits[0]+r.digits[1] > 0:
		return r.digits[0]
	case r.unit == scan.Inch:
		return 2
	}
	return 3
}

func (r *reader) frac() int {
	switch {
	case r.digits[0]+r.digits[1] > 0:
		return r.digits[1]
	case r.unit == scan.Inch:
		return 4
	}
	return 3
}
