package ipc2581

import (
	"math"
	"strconv"
	"strings"

	"ohmward/geom"
)

// perUnit gives nanometres per unit of length; 0: not a unit of the format.
func perUnit(name string) float64 {
	switch strings.ToUpper(name) {
	case "MILLIMETER":
		return 1e6
	case "MICRON":
		return 1e3
	case "INCH":
		return 25.4e6
	}
	return 0
}

// number reads an attribute as a number.
func (r *reader) number(e *element, name string) (v float64, given bool) {
	text := e.attr(name)
	if text == "" {
		return 0, false
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		panic(r.Malformed("%s of <%s> is not a number: %q", name, e.name, shorten(text)))
	}
	return v, true
}

// real is number with a value to take where the attribute is missing.
func (r *reader) real(e *element, name string, missing float64) float64 {
	if v, given := r.number(e, name); given {
		return v
	}
	return missing
}

// length reads an attribute as a length in nanometres; a missing one is 0.
func (r *reader) length(e *element, name string) float64 {
	v, given := r.number(e, name)
	if given && r.scale == 0 {
		panic(r.Malformed("no unit of length is given before <%s>: CadHeader lacks its units", e.name))
	}
	v *= r.scale
	if math.Abs(v) > geom.MaxCoord {
		panic(r.Unsupported("%s of <%s> is more than a metre", name, e.name))
	}
	return v
}

// size reads a length that must not be negative and must be given.
func (r *reader) size(e *element, name string) float64 {
	v := r.length(e, name)
	if v < 0 || e.attr(name) == "" {
		panic(r.Malformed("<%s> needs a %s that is not negative", e.name, name))
	}
	return v
}

// whole reads a length rounded to the nanometre.
func (r *reader) whole(e *element, name string) int64 {
	return int64(math.Round(r.length(e, name)))
}

// point reads two attributes as a place; both must be given.
func (r *reader) point(e *element, x, y string) geom.Point {
	if e.attr(x) == "" || e.attr(y) == "" {
		panic(r.Malformed("<%s> needs %s and %s", e.name, x, y))
	}
	return geom.Point{X: r.whole(e, x), Y: r.whole(e, y)}
}

// yes reads a truth value.
func yes(text string, missing bool) bool {
	switch strings.ToLower(text) {
	case "true", "1", "yes":
		return true
	case "false", "0", "no":
		return false
	}
	return missing
}
