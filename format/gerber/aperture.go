package gerber

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"ohmward/format/fault"
	"ohmward/format/internal/scan"
	"ohmward/geom"
)

// aperture is one defined aperture, resolved once: its outline about the
// origin for non-zero filling, holes as clockwise rings.
type aperture struct {
	code     int
	rings    []geom.Ring
	round    bool    // a solid disc
	radius   float64 // of a disc, nanometres
	convex   bool    // one convex ring
	block    []Object
	isBlock  bool
	function []string
	turned   map[turning]*aperture
}

// template is what stands in a definition after the D code.
type template struct {
	name   string
	params []float64
}

func parseTemplate(s string) (template, error) {
	name, rest, _ := strings.Cut(s, ",")
	t := template{name: strings.TrimSpace(name)}
	if strings.TrimSpace(rest) == "" {
		return t, nil
	}
	for _, f := range strings.FieldsFunc(rest, func(c rune) bool { return c == 'X' || c == 'x' }) {
		v, ok := scan.Decimal(f)
		if !ok {
			return t, fmt.Errorf("parameter %q is not a number", fault.Short(f))
		}
		t.params = append(t.params, v)
	}
	return t, nil
}

// param gives the i-th parameter, or 0.
func (t template) param(i int) float64 {
	if i < len(t.params) {
		return t.params[i]
	}
	return 0
}

// define handles AD: Dnn, template name and parameters.
func (r *reader) define(s string) {
	s = strings.TrimSpace(s)
	rest := strings.TrimLeft(s[min(1, len(s)):], "0123456789")
	code, ok := scan.Whole(strings.TrimLeft(s[:len(s)-len(rest)], "Dd"))
	if !ok || s[0]&^0x20 != 'D' {
		panic(r.Malformed("aperture definition without D code"))
	}
	if code < 10 {
		r.Warn("aperture number D%d is below 10", code)
	}
	t, err := parseTemplate(rest)
	var a *aperture
	if err == nil {
		a, err = r.resolve(t)
	}
	switch {
	case errors.Is(err, errTooLarge):
		panic(r.Unsupported("aperture D%d: %v", code, err))
	case err != nil:
		panic(r.Malformed("aperture D%d: %v", code, err))
	}
	a.code, a.function = code, r.apertureAttributes[".AperFunction"]
	r.addAperture(a)
}

func (r *reader) addAperture(a *aperture) {
	if len(r.apertures) >= maxApertures {
		panic(r.Unsupported("too large: more than %d apertures", maxApertures))
	}
	r.apertureCorners += corners(a.rings)
	if r.apertureCorners > r.limits.corners {
		panic(r.Unsupported("too large: more than %d corners in apertures", r.limits.corners))
	}
	r.apertures[a.code] = a
}

func (r *reader) isStandard(name string) bool {
	return len(name) == 1 && strings.Contains("CROP", strings.ToUpper(name)) && r.findMacro(name) == nil
}

// resolve turns a template into an outline.
func (r *reader) resolve(t template) (*aperture, error) {
	if !r.isStandard(t.name) {
		m := r.findMacro(t.name)
		if m == nil {
			return nil, fmt.Errorf("template %q is not defined", fault.Short(t.name))
		}
		return r.resolveMacro(m, t.params)
	}
	if len(t.params) == 0 {
		return nil, fmt.Errorf("no size given")
	}
	polygonal := strings.EqualFold(t.name, "P")
	for i, v := range t.params {
		switch {
		case polygonal && (i == 1 || i == 2): // number of corners, rotation
		case v < 0:
			return nil, fmt.Errorf("size %g is negative", v)
		case v*r.perUnit() > geom.MaxCoord:
			return nil, fmt.Errorf("size %g is beyond a metre", v)
		}
	}
	switch strings.ToUpper(t.name) {
	case "C":
		return r.disc(t)
	case "P":
		return r.regularPolygon(t)
	default:
		return r.box(t, strings.EqualFold(t.name, "O"))
	}
}

func (r *reader) nm(v float64) int64 { return int64(math.Round(v * r.perUnit())) }

func (r *reader) disc(t template) (*aperture, error) {
	d := float64(r.nm(t.param(0)))
	a := &aperture{round: true, radius: d / 2, convex: true}
	if d > 0 {
		a.rings = rings(circle(0, 0, d/2))
	}
	return a, r.punch(a, t, 1)
}

func (r *reader) box(t template, obrounded bool) (*aperture, error) {
	w := r.nm(t.param(0))
	h := r.nm(t.params[min(1, len(t.params)-1)])
	a := &aperture{convex: true}
	if w == 0 || h == 0 {
		r.Warn("aperture of no size paints nothing")
		return a, nil
	}
	switch {
	case obrounded && w == h:
		a.round, a.radius = true, float64(w)/2
		a.rings = rings(obround(w, h))
	case obrounded:
		a.rings = rings(obround(w, h))
	default:
		a.rings = []geom.Ring{rectangle(w, h)}
	}
	return a, r.punch(a, t, 2)
}

func (r *reader) regularPolygon(t template) (*aperture, error) {
	n := t.param(1)
	if n != math.Trunc(n) || n < 3 || n > 1000 {
		return nil, fmt.Errorf("polygon with %g corners (3 to 12 are allowed)", n)
	}
	ring := polygon(0, 0, float64(r.nm(t.param(0)))/2, int(n), t.param(2)*math.Pi/180)
	a := &aperture{convex: true, rings: rings(ring)}
	return a, r.punch(a, t, 3)
}

// punch opens the hole given by the parameters from index first on: one is a
// round hole's diameter, two a rectangular hole's sides.
func (r *reader) punch(a *aperture, t template, first int) error {
	w, h := r.nm(t.param(first)), r.nm(t.param(first+1))
	if w == 0 || len(a.rings) == 0 {
		return nil
	}
	hole := rectangle(w, h)
	if h <= 0 {
		hole = circle(0, 0, float64(w)/2)
	}
	if hole == nil {
		return nil
	}
	a.round, a.convex = false, false
	if inside(hole, a.rings[0]) {
		a.rings = append(a.rings, cw(hole))
		return nil
	}
	r.Warn("aperture's hole reaches beyond the aperture")
	var err error
	a.rings, err = paint([]geom.Coat{{Dark: true, Rings: a.rings}, {Rings: []geom.Ring{hole}}})
	return err
}

// inside tells whether all corners of hole lie strictly within the convex
// counter-clockwise ring.
func inside(hole, ring geom.Ring) bool {
	for i, p := range ring {
		q := ring[(i+1)%len(ring)]
		for _, h := range hole {
			if geom.Orient(p, q, h) <= 0 {
				return false
			}
		}
	}
	return true
}

func (r *reader) findMacro(name string) *macro {
	if m := r.macros[name]; m != nil {
		return m
	}
	return r.macros[strings.ToUpper(name)]
}

func (r *reader) resolveMacro(m *macro, params []float64) (*aperture, error) {
	if r.evaluated += m.size; r.evaluated > maxEvaluated {
		return nil, fmt.Errorf("%w: more than %d bytes of macros evaluated", errTooLarge, maxEvaluated)
	}
	p := primitives{perUnit: r.perUnit()}
	if err := m.run(params, p.draw); err != nil {
		return nil, err
	}
	if p.odd != "" {
		r.LoseOnce("%s", p.odd)
	}
	a := &aperture{}
	switch {
	case len(p.coats) == 1 && len(p.coats[0].Rings) == 1 && p.coats[0].Dark && p.coats[0].Rings[0].Convex() &&
		p.coats[0].Rings[0].Area() > 0:
		a.rings, a.convex = p.coats[0].Rings, true
	case len(p.coats) > 0:
		var err error
		if a.rings, err = paint(p.coats); err != nil {
			return nil, fmt.Errorf("%w: %w", errTooLarge, err)
		}
	}
	return a, nil
}
