package gerber

import (
	"fmt"
	"math"

	"ohmward/geom"
)

// primitives collects a macro's shapes in nanometres about its origin.
type primitives struct {
	perUnit float64
	coats   []geom.Coat
	corners int
	odd     string // something doubtful, for a warning
}

// turned is a rotation about the macro's origin with a scale to nanometres.
type turned struct{ c, s, perUnit float64 }

func (p *primitives) turn(degrees float64) turned {
	s, c := geom.SinCos(degrees)
	return turned{c, s, p.perUnit}
}

func (t turned) at(x, y float64) (float64, float64) {
	x, y = x*t.perUnit, y*t.perUnit
	return x*t.c - y*t.s, x*t.s + y*t.c
}

// ring makes a ring of places given in the file's unit, x and y in turn.
func (t turned) ring(xy ...float64) geom.Ring {
	var ring geom.Ring
	for i := 0; i+1 < len(xy); i += 2 {
		x, y := t.at(xy[i], xy[i+1])
		ring = appendPoint(ring, x, y)
	}
	return closeRing(ring)
}

// need tells how many modifiers a primitive must have; the rest default to 0.
var need = map[int]int{1: 4, 2: 6, 20: 6, 21: 5, 22: 5, 4: 4, 5: 5, 6: 8, 7: 5}

func (p *primitives) draw(code int, mod []float64) error {
	least, known := need[code]
	if !known {
		p.odd = fmt.Sprintf("unknown macro primitive %d left out", code)
		return nil
	}
	if len(mod) < least {
		return fmt.Errorf("primitive %d has %d modifiers, needs %d", code, len(mod), least)
	}
	for _, v := range mod {
		if math.Abs(v) > 1e5 { // lengths are checked below, angles and counts stay under this
			return fmt.Errorf("modifier %g is too large", v)
		}
	}
	full := make([]float64, max(len(mod), 10))
	copy(full, mod)
	shape, err := p.shape(code, full, len(mod))
	if err != nil {
		return err
	}
	dark := code == 6 || code == 7 || full[0] != 0
	shape = rings(shape...)
	if reach(shape) > geom.MaxCoord {
		return fmt.Errorf("primitive %d reaches beyond a metre", code)
	}
	if p.corners += corners(shape); p.corners > maxOutline {
		return fmt.Errorf("%w: more than %d corners", errTooLarge, maxOutline)
	}
	if len(shape) > 0 {
		p.coats = append(p.coats, geom.Coat{Dark: dark, Rings: shape})
	}
	return nil
}

func (p *primitives) shape(code int, m []float64, given int) ([]geom.Ring, error) {
	switch code {
	case 1:
		x, y := p.turn(m[4]).at(m[2], m[3])
		return []geom.Ring{circle(x, y, math.Abs(m[1])*p.perUnit/2)}, nil
	case 2, 20:
		return []geom.Ring{vectorLine(p.turn(m[6]), m[1], m[2], m[3], m[4], m[5])}, nil
	case 21:
		w, h := m[1]/2, m[2]/2
		return []geom.Ring{box(p.turn(m[5]), m[3]-w, m[4]-h, m[3]+w, m[4]+h)}, nil
	case 22:
		return []geom.Ring{box(p.turn(m[5]), m[3], m[4], m[3]+m[1], m[4]+m[2])}, nil
	case 4:
		return p.outline(m, given)
	case 5:
		return p.regular(m)
	case 6:
		return p.moire(m)
	default:
		return p.thermal(m)
	}
}

func box(t turned, x0, y0, x1, y1 float64) geom.Ring {
	return ccw(t.ring(x0, y0, x1, y0, x1, y1, x0, y1))
}

// vectorLine is a line of width w with square-cut ends that do not reach
// beyond its two places.
func vectorLine(t turned, w, x0, y0, x1, y1 float64) geom.Ring {
	l := math.Hypot(x1-x0, y1-y0)
	if l == 0 {
		return nil
	}
	nx, ny := -(y1-y0)/l*w/2, (x1-x0)/l*w/2
	return ccw(t.ring(x0-nx, y0-ny, x1-nx, y1-ny, x1+nx, y1+ny, x0+nx, y0+ny))
}

func (p *primitives) outline(m []float64, given int) ([]geom.Ring, error) {
	n := int(m[1])
	if float64(n) != m[1] || n < 1 || n > maxOutline {
		return nil, fmt.Errorf("outline with %g corners", m[1])
	}
	places := 2 * (n + 1)
	if given < 2+places {
		return nil, fmt.Errorf("outline says %d corners, gives %d numbers for %d", n, given-2, places)
	}
	rotation := 0.0
	if given > 2+places {
		rotation = m[2+places]
	}
	return []geom.Ring{ccw(p.turn(rotation).ring(m[2 : 2+places]...))}, nil
}

func (p *primitives) regular(m []float64) ([]geom.Ring, error) {
	n := int(m[1])
	if float64(n) != m[1] || n < 3 || n > 1000 {
		return nil, fmt.Errorf("polygon with %g corners (3 to 12 are allowed)", m[1])
	}
	x, y := p.turn(m[5]).at(m[2], m[3])
	r := math.Abs(m[4]) * p.perUnit / 2
	return []geom.Ring{polygon(x, y, r, n, m[5]*math.Pi/180)}, nil
}

// moire is concentric rings with a crosshair; the pieces overlap only by
// adding, so non-zero filling gives their union.
func (p *primitives) moire(m []float64) ([]geom.Ring, error) {
	t := p.turn(m[8])
	x, y := t.at(m[0], m[1])
	if m[5] > 1000 {
		return nil, fmt.Errorf("moiré with %g rings", m[5])
	}
	var out []geom.Ring
	d := m[2]
	for k := 0; k < int(m[5]) && d > 0; k++ {
		out = append(out, circle(x, y, d*p.perUnit/2))
		d -= 2 * m[3]
		if d > 0 {
			out = append(out, cw(circle(x, y, d*p.perUnit/2)))
		}
		d -= 2 * m[4]
	}
	w, l := m[6]/2, m[7]/2
	if w > 0 && l > 0 {
		out = append(out,
			box(t, m[0]-l, m[1]-w, m[0]+l, m[1]+w),
			box(t, m[0]-w, m[1]-l, m[0]+w, m[1]+l))
	}
	return out, nil
}

// thermal is a ring cut by a cross: four equal pieces, each bounded by an
// outer arc, two sides of the gap and an inner arc (or, where the gap is as
// wide as the hole, the corner of the gap).
func (p *primitives) thermal(m []float64) ([]geom.Ring, error) {
	ro, ri, g := m[2]*p.perUnit/2, m[3]*p.perUnit/2, m[4]*p.perUnit/2
	if ro <= ri || ri < 0 || g < 0 {
		return nil, fmt.Errorf("thermal of outer diameter %g, inner %g, gap %g", m[2], m[3], m[4])
	}
	if g*math.Sqrt2 >= ro {
		return nil, nil
	}
	cx, cy := p.turn(m[5]).at(m[0], m[1])
	if g == 0 {
		return []geom.Ring{circle(cx, cy, ro), cw(circle(cx, cy, ri))}, nil
	}
	rot := m[5] * math.Pi / 180
	var out []geom.Ring
	for k := range 4 {
		turn := rot + float64(k)*math.Pi/2
		ring := bend(nil, cx, cy, ro, turn, math.Asin(g/ro), math.Pi/2-math.Asin(g/ro))
		if g*math.Sqrt2 < ri {
			ring = bend(ring, cx, cy, ri, turn, math.Pi/2-math.Asin(g/ri), math.Asin(g/ri))
		} else {
			s, c := math.Sincos(turn + math.Pi/4)
			ring = appendPoint(ring, cx+g*math.Sqrt2*c, cy+g*math.Sqrt2*s)
		}
		out = append(out, closeRing(ring))
	}
	return out, nil
}

// bend appends an arc about a centre from one angle to another, both beyond
// turn.
func bend(ring geom.Ring, cx, cy, r, turn, from, to float64) geom.Ring {
	n, grown := bent(r, math.Abs(to-from), chord)
	for k := 0; k <= n; k++ {
		s, c := math.Sincos(turn + from + (to-from)*float64(k)/float64(n))
		out := r
		if k > 0 && k < n {
			out *= grown
		}
		ring = appendPoint(ring, cx+out*c, cy+out*s)
	}
	return ring
}
