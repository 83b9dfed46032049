package gerber

import (
	"math"
	"strings"

	"ohmward/format/fault"
	"ohmward/geom"
)

// operate runs D01, D02 or D03 with the coordinates given.
func (r *reader) operate(c codes) {
	to := r.place(c)
	from := r.at
	r.at = to
	switch r.operation {
	case 2:
		if r.inRegion {
			r.endContour()
		}
		return
	case 3:
		if r.inRegion {
			r.Lose("flash inside a region ignored")
			return
		}
		r.flash(to)
		return
	}
	a, curved := r.curve(from, to, c)
	switch {
	case r.inRegion:
		r.side(from, to, a, curved)
	case curved:
		r.drawArc(a)
	default:
		r.draw(from, to)
	}
}

// place gives where the operation leads.
func (r *reader) place(c codes) geom.Point {
	to := r.at
	for _, axis := range []struct {
		digits string
		f      layout
		v      *int64
	}{{c.x, r.x, &to.X}, {c.y, r.y, &to.Y}} {
		if axis.digits == "" {
			continue
		}
		v := r.length(axis.digits, axis.f)
		if r.incremental {
			v += *axis.v
		}
		if v > geom.MaxCoord || v < -geom.MaxCoord {
			panic(r.Malformed("coordinate %s lies beyond a metre", axis.digits))
		}
		*axis.v = v
	}
	return to
}

// length turns digits into nanometres by the file's format and unit.
func (r *reader) length(digits string, f layout) int64 {
	if !r.formatted {
		if !strings.Contains(digits, ".") {
			if len(r.apertures) == 0 {
				panic(r.listApart())
			}
			panic(r.Malformed("coordinate %s before the format (FS) is given", digits))
		}
		r.WarnOnce("no format (FS) given; decimal points read as they stand")
	}
	v, ok := coordinate(digits, f, r.trailing, r.nanometres())
	if !ok {
		panic(r.Malformed("malformed coordinate %q", fault.Short(digits)))
	}
	return v
}

// offset is length for digits that may be missing.
func (r *reader) offset(digits string, f layout) int64 {
	if digits == "" {
		return 0
	}
	return r.length(digits, f)
}

// curve gives the arc of a D01, if it is one.
func (r *reader) curve(from, to geom.Point, c codes) (a arc, curved bool) {
	if r.plot == 1 {
		return a, false
	}
	i, j := r.offset(c.i, r.x), r.offset(c.j, r.y)
	if max(i, -i, j, -j) > 100*geom.MaxCoord {
		panic(r.Malformed("arc centre lies beyond a hundred metres"))
	}
	clockwise := r.plot == 2
	single := r.quadrant == 74
	if r.quadrant == 0 {
		r.WarnOnce("arc without G74 or G75")
		single = r.guessSingle(from, to, i, j)
	}
	if single {
		if from == to {
			return a, false // of no length in this mode
		}
		a, curved = singleQuadrant(from, to, max(i, -i), max(j, -j), clockwise)
	} else {
		centre := geom.Vec{X: float64(from.X + i), Y: float64(from.Y + j)}
		a, curved = newArc(from, to, centre, clockwise, true)
	}
	if !curved {
		r.Warn("arc without a possible centre drawn straight")
		return a, false
	}
	if miss := math.Abs(a.r0 - a.r1); miss > 0.05*max(a.r0, a.r1) && miss > 20_000 {
		r.Warn("arc's ends lie %.3f mm and %.3f mm from its centre", a.r0*1e-6, a.r1*1e-6)
	}
	return a, true
}

// guessSingle decides the mode of an arc in a file that never says: unsigned
// offsets that do not fit as they stand mean single quadrant.
func (r *reader) guessSingle(from, to geom.Point, i, j int64) bool {
	if i < 0 || j < 0 || from == to {
		return false
	}
	c := geom.Vec{X: float64(from.X + i), Y: float64(from.Y + j)}
	r0, r1 := math.Hypot(float64(i), float64(j)), math.Hypot(float64(to.X)-c.X, float64(to.Y)-c.Y)
	return math.Abs(r0-r1) > 0.02*r0+20_000
}

// brush gives the aperture to paint with.
func (r *reader) brush() *aperture {
	if r.aperture == nil {
		r.aperture = r.apertures[r.selected]
	}
	switch {
	case r.aperture != nil:
		return r.aperture
	case r.selected == 0:
		panic(r.Malformed("painting before an aperture is selected"))
	case len(r.apertures) == 0:
		panic(r.listApart())
	default:
		panic(r.Malformed("aperture D%d is not defined", r.selected))
	}
}

// listApart is the error for a file from before apertures were part of it.
func (r *reader) listApart() error {
	return r.Unsupported("the file defines no aperture: it goes with a list of its own (RS-274D), which is " +
		"not read: export it as RS-274X")
}

// turned gives the aperture as LM, LR and LS show it, once it is sure that
// all it paints at the places stays within the frame.
func (r *reader) turned(a *aperture, places ...geom.Point) *aperture {
	if float64(reach(a.rings))*r.turning.scale > geom.MaxCoord {
		panic(r.beyond())
	}
	a = a.turn(r.turning)
	if reach(a.rings)+reach([]geom.Ring{places}) > geom.MaxCoord {
		panic(r.beyond())
	}
	return a
}

func (r *reader) flash(at geom.Point) {
	a := r.brush()
	if a.isBlock {
		r.flashBlock(a, at)
		return
	}
	a = r.turned(a, at)
	r.emit(r.object(Flash, a, at, at, move(a.rings, at)))
}

// pen gives the aperture to draw with along some places.
func (r *reader) pen(places ...geom.Point) *aperture {
	a := r.brush()
	if a.isBlock {
		panic(r.Unsupported("draw with aperture block D%d", a.code))
	}
	return r.turned(a, places...)
}

func (r *reader) draw(from, to geom.Point) {
	a := r.pen(from, to)
	var shape []geom.Ring
	switch {
	case len(a.rings) == 0:
	case a.round && from != to:
		shape = rings(capsule(from.Vec(), to.Vec(), a.radius, chord))
	default:
		shape = sweep(a.rings, a.convex, from, to)
	}
	r.emit(r.object(Draw, a, from, to, shape))
}

func (r *reader) drawArc(c arc) {
	path := c.chords([]geom.Point{c.from}, chord)
	a := r.pen(path...)
	var shape []geom.Ring
	switch {
	case len(a.rings) == 0:
	case a.round:
		shape = c.stroke(a.radius)
	default:
		for k := 1; k < len(path); k++ {
			shape = append(shape, sweep(a.rings, a.convex, path[k-1], path[k])...)
			if r.corners+corners(shape) > r.limits.corners {
				panic(r.tooLarge())
			}
		}
	}
	o := r.object(Arc, a, c.from, c.to, shape)
	o.Via = path[1 : len(path)-1]
	r.emit(o)
}

func (r *reader) object(k Kind, a *aperture, at, to geom.Point, shape []geom.Ring) Object {
	o := Object{
		Kind: k, Dark: !r.light, Rings: shape, At: at, To: to,
		Aperture: a.code, Line: r.Line, Function: a.function,
	}
	r.labels.set(&o)
	return o
}
