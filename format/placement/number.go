package placement

import (
	"math"
	"regexp"
	"strconv"
	"strings"
)

// Nanometres in the units of such tables.
const (
	nmPerMM   = 1e6
	nmPerMil  = 25_400
	nmPerInch = 25.4e6
)

var unitEndings = strings.Fields("mm mils mil thou inches inch in um")

// unitOf is the size of a unit in nanometres, 0 where it is none.
func unitOf(s string) float64 {
	switch strings.Trim(strings.ToLower(s), " .:") {
	case "mm", "millimeter", "millimeters", "millimetre", "millimetres", "metric":
		return nmPerMM
	case "mil", "mils", "thou", "th":
		return nmPerMil
	case "in", "inch", "inches", `"`, "imperial":
		return nmPerInch
	case "um", "µm", "μm", "micron", "microns":
		return 1000
	}
	return 0
}

var quantity = regexp.MustCompile(`^([-+−]?[0-9]*[.,]?[0-9]*(?:[.,][0-9]+)?(?:[eE][-+]?[0-9]{1,3})?)\s*([a-zA-Zµμ"]*)$`)

// length reads a coordinate, with the unit written behind it (0: none).
func length(s string) (v, unit float64, ok bool) {
	s = strings.TrimSpace(s)
	if len(s) > 60 {
		return 0, 0, false
	}
	m := quantity.FindStringSubmatch(s)
	if m == nil {
		return 0, 0, false
	}
	if m[2] != "" {
		if unit = unitOf(m[2]); unit == 0 {
			return 0, 0, false
		}
	}
	v, ok = decimal(m[1])
	return v, unit, ok
}

// decimal reads a number with a decimal point or comma; of both, the last is
// the decimal one and the others part thousands.
func decimal(s string) (float64, bool) {
	s = strings.Replace(s, "−", "-", 1)
	point, comma := strings.LastIndexByte(s, '.'), strings.LastIndexByte(s, ',')
	switch {
	case comma > point:
		s = strings.ReplaceAll(s[:comma], ".", "") + "." + s[comma+1:]
		if strings.IndexByte(s, ',') >= 0 {
			return 0, false
		}
	case comma >= 0:
		s = strings.ReplaceAll(s, ",", "")
	}
	v, err := strconv.ParseFloat(s, 64)
	return v, err == nil && !math.IsInf(v, 0) && !math.IsNaN(v)
}

// angle reads degrees: "90", "90.0°", "270 deg", "R90", "MR180". The M means
// that the part is mirrored.
func angle(s string) (degrees float64, mirrored, ok bool) {
	s = strings.ToLower(strings.TrimSpace(s))
	s, mirrored = strings.CutPrefix(s, "m")
	s = strings.TrimPrefix(s, "r")
	for _, u := range []string{"degrees", "deg", "°", "d"} {
		s = strings.TrimSuffix(s, u)
	}
	v, ok := decimal(strings.TrimSpace(s))
	if !ok || math.Abs(v) > 1e6 {
		return 0, false, false
	}
	if v = math.Mod(v, 360); v < 0 {
		v += 360
	}
	if v == 360 || v == 0 { // a tiny negative angle; a negative zero
		v = 0
	}
	return v, mirrored, true
}

// sideOf reads a side however spelled; ok is false where it is none.
func sideOf(s string) (side Side, ok bool) {
	switch w := letters(strings.ToLower(s)); {
	case w == "":
		return SideUnsaid, true
	case strings.HasPrefix(w, "top"), strings.HasPrefix(w, "front"), strings.HasPrefix(w, "component"), strings.HasPrefix(w, "primary"):
		return Top, true
	case strings.HasPrefix(w, "bot"), strings.HasPrefix(w, "back"), strings.HasPrefix(w, "solder"), strings.HasPrefix(w, "secondary"):
		return Bottom, true
	case w == "t", w == "f", w == "fcu", w == "ts", w == "1", w == "comp", w == "oben":
		return Top, true
	case w == "b", w == "bcu", w == "bs", w == "2", w == "unten":
		return Bottom, true
	}
	return SideUnsaid, false
}

// yes reads a mark: anything but an empty cell or a no.
func yes(s string) bool {
	switch letters(strings.ToLower(s)) {
	case "", "0", "no", "n", "false", "f", "none", "na", "off":
		return false
	}
	return true
}
