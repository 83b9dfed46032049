package gerber

import (
	"math"
	"strconv"
	"strings"

	"ohmward/format/internal/scan"
)

// layout is the coordinate format of one axis.
type layout struct{ whole, frac int }

// coordinate turns a coordinate's digits into nanometres. Digits without a
// point are placed by the layout; trailing tells that trailing zeros were
// omitted. perUnit is nanometres per unit.
func coordinate(s string, f layout, trailing bool, perUnit int64) (int64, bool) {
	if strings.IndexByte(s, '.') >= 0 {
		v, ok := scan.Decimal(s)
		v *= float64(perUnit)
		if !ok || math.Abs(v) > 1e15 {
			return 0, false
		}
		return int64(math.Round(v)), true
	}
	digits, negative := s, false
	if digits != "" && (digits[0] == '-' || digits[0] == '+') {
		negative = digits[0] == '-'
		digits = digits[1:]
	}
	n, err := strconv.ParseUint(digits, 10, 63)
	if err != nil || len(digits) > 15 {
		return 0, false
	}
	scale := f.frac
	if trailing {
		scale = len(digits) - f.whole
	}
	v, ok := scaled(int64(n), scale, perUnit)
	if negative {
		v = -v
	}
	return v, ok
}

// scaled gives round(n * perUnit / 10^scale) for n >= 0, exactly.
func scaled(n int64, scale int, perUnit int64) (int64, bool) {
	for ; scale < 0; scale++ {
		if n > 1e14 {
			return 0, false
		}
		n *= 10
	}
	d := int64(1)
	for ; scale > 0; scale-- {
		if perUnit%10 == 0 {
			perUnit /= 10
			continue
		}
		if d > 1e14 {
			return 0, true
		}
		d *= 10
	}
	if n != 0 && perUnit > math.MaxInt64/2/n {
		return 0, false
	}
	return (n*perUnit + d/2) / d, true
}
