package gerber

import (
	"math"
	"strings"

	"ohmward/format/fault"
	"ohmward/format/internal/scan"
	"ohmward/geom"
)

// placing is what the deprecated commands AS, MI, SF, OF and IR do to the
// whole image, in that order.
type placing struct {
	swap             bool
	mirrorX, mirrorY bool
	scaleX, scaleY   float64
	dx, dy           float64 // nanometres
	degrees          float64
	used             bool
}

func (r *reader) axes(s string) {
	switch strings.ToUpper(strings.TrimSpace(s)) {
	case "AXBY":
	case "AYBX":
		r.frame.swap, r.frame.used = true, true
	default:
		panic(r.Malformed("axis choice AS%s is neither AXBY nor AYBX", fault.Short(s)))
	}
}

func (r *reader) imagePolarity(s string) {
	switch strings.ToUpper(strings.TrimSpace(s)) {
	case "POS":
		r.img.Negative = false
	case "NEG":
		r.img.Negative = true
		r.Warn("negative image (IPNEG): what is painted is open")
	default:
		panic(r.Malformed("image polarity IP%s is neither POS nor NEG", fault.Short(s)))
	}
}

func (r *reader) imageRotation(s string) {
	v, ok := scan.Decimal(s)
	if !ok || math.Mod(v, 90) != 0 {
		panic(r.Malformed("image rotation IR%s is no multiple of 90", fault.Short(s)))
	}
	r.frame.degrees = math.Mod(v, 360)
	r.frame.used = r.frame.used || r.frame.degrees != 0
}

// ab reads the A and B numbers of MI, OF and SF.
func (r *reader) ab(code, s string, missing float64) (a, b float64) {
	v, ok := lettered(strings.ToUpper(strings.ReplaceAll(s, " ", "")), "AB")
	if !ok {
		panic(r.Malformed("malformed command %s%s", code, fault.Short(s)))
	}
	a, b = missing, missing
	if x, given := v['A']; given {
		a = x
	}
	if x, given := v['B']; given {
		b = x
	}
	return a, b
}

func (r *reader) imageMirror(s string) {
	a, b := r.ab("MI", s, 0)
	r.frame.mirrorX, r.frame.mirrorY = a != 0, b != 0
	r.frame.used = r.frame.used || a != 0 || b != 0
}

func (r *reader) imageOffset(s string) {
	a, b := r.ab("OF", s, 0)
	if a != 0 || b != 0 {
		r.frame.dx, r.frame.dy = a*r.perUnit(), b*r.perUnit()
		r.frame.used = true
	}
}

func (r *reader) imageScale(s string) {
	a, b := r.ab("SF", s, 1)
	if a <= 0 || b <= 0 {
		panic(r.Malformed("scale SF%s is not positive", fault.Short(s)))
	}
	r.frame.scaleX, r.frame.scaleY = a, b
	r.frame.used = r.frame.used || a != 1 || b != 1
}

func (p placing) point(q geom.Point) geom.Point {
	x, y := float64(q.X), float64(q.Y)
	if p.swap {
		x, y = y, x
	}
	if p.mirrorX {
		x = -x
	}
	if p.mirrorY {
		y = -y
	}
	x, y = x*p.scaleX+p.dx, y*p.scaleY+p.dy
	s, c := geom.SinCos(p.degrees)
	return geom.Point{X: int64(math.Round(x*c - y*s)), Y: int64(math.Round(x*s + y*c))}
}

// apply moves the finished image where the deprecated commands put it.
func (p placing) apply(r *reader) {
	if !p.used {
		return
	}
	r.Warn("deprecated image commands (AS, MI, SF, OF, IR) applied")
	flips := (p.swap != p.mirrorX) != p.mirrorY
	for i, o := range r.img.Objects {
		r.img.Objects[i] = mapped(o, p.point, flips)
		if reach(r.img.Objects[i].Rings) > geom.MaxCoord {
			panic(r.Malformed("image is placed beyond a metre from the origin"))
		}
	}
}
