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
func (r *reader) number(e *element, name string) (v float64, given bool, err error) {
	text := e.attr(name)
	if text == "" {
		return 0, false, nil
	}
	v, err = strconv.ParseFloat(text, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, false, r.Malformed("%s of <%s> is not a number: %q", name, e.name, shorten(text))
	}
	return v, true, nil
}

// real is number with a value to take where the attribute is missing.
func (r *reader) real(e *element, name string, missing float64) (float64, error) {
	v, given, err := r.number(e, name)
	if !given {
		v = missing
	}
	return v, err
}

// length reads an attribute as a length in nanometres; a missing one is 0.
func (r *reader) length(e *element, name string) (float64, error) {
	v, given, err := r.number(e, name)
	if err != nil || !given {
		return 0, err
	}
	if r.scale == 0 {
		return 0, r.Malformed("no unit of length is given before <%s>: CadHeader lacks its units", e.name)
	}
	v *= r.scale
	if math.Abs(v) > geom.MaxCoord {
		return 0, r.Unsupported("%s of <%s> is more than a metre", name, e.name)
	}
	return v, nil
}

// lengths reads several lengths that must not be negative and must be given.
func (r *reader) sizes(e *element, names ...string) ([]float64, error) {
	out := make([]float64, len(names))
	for i, name := range names {
		v, err := r.length(e, name)
		if err != nil {
			return nil, err
		}
		if v < 0 || e.attr(name) == "" {
			return nil, r.Malformed("<%s> needs a %s that is not negative", e.name, name)
		}
		out[i] = v
	}
	return out, nil
}

// whole reads a length rounded to the nanometre.
func (r *reader) whole(e *element, name string) (int64, error) {
	v, err := r.length(e, name)
	return int64(math.Round(v)), err
}

// point reads two attributes as a place; both must be given.
func (r *reader) point(e *element, x, y string) (p geom.Point, err error) {
	if e.attr(x) == "" || e.attr(y) == "" {
		return p, r.Malformed("<%s> needs %s and %s", e.name, x, y)
	}
	if p.X, err = r.whole(e, x); err != nil {
		return p, err
	}
	p.Y, err = r.whole(e, y)
	return p, err
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
