package excellon

import (
	"strings"

	"ohmward/format/fault"
	"ohmward/format/internal/scan"
	"ohmward/geom"
)

// words runs a line of letters and numbers.
func (r *reader) words(s string, words []token) {
	switch words[0].letter {
	case 'R':
		r.repeat(words)
		return
	case 'N':
		words = words[1:]
	}
	var move motion
	for i, w := range words {
		switch w.letter {
		case 'G':
			n, ok := scan.Whole(w.value)
			if !ok {
				r.odd(s)
				return
			}
			if n == 85 {
				r.slot(move, words[i+1:])
				return
			}
			r.general(n, &move)
		case 'M':
			n, ok := scan.Whole(w.value)
			if !ok {
				r.odd(s)
				return
			}
			if r.text(n) {
				return
			}
			if n == 2 && len(words) > i+1 || n == 2 && r.pattern >= 0 {
				r.known++
				r.repeatPattern(1, words[i+1:])
				return
			}
			r.miscellaneous(n)
		case 'X', 'Y', 'A', 'I', 'J':
			if w.value == "" {
				r.odd(s)
				return
			}
			move.set(w)
		case 'T':
			r.toolLine(s[strings.IndexByte(s, 'T'):], words[i:])
			return
		case 'F', 'S', 'B', 'H', 'Z', 'C', 'Q', 'P', 'K', 'L':
		default:
			r.odd(s)
			return
		}
	}
	if move.given {
		r.known++
		r.move(move)
	}
}

// motion is the coordinates of one line.
type motion struct {
	x, y, a, i, j string
	given         bool // X or Y, or an arc's centre
	zero          bool // of a G93
}

func (m *motion) set(w token) {
	switch w.letter {
	case 'X':
		m.x = w.value
	case 'Y':
		m.y = w.value
	case 'A':
		m.a = w.value
	case 'I':
		m.i = w.value
	case 'J':
		m.j = w.value
	}
	m.given = m.given || w.letter != 'A'
}

func (r *reader) general(n int, move *motion) {
	switch n {
	case 0, 1, 2, 3:
		r.rout, r.plot = true, n
	case 5, 81:
		r.liftTool()
		r.rout = false
	case 90:
		r.incremental = false
	case 91:
		r.incremental = true
	case 93:
		move.zero = true
	case 4, 7, 40, 80:
	case 32, 33, 34, 35, 82, 83, 84, 86, 87: // passing these over would lose holes
		panic(r.Unsupported("canned circle or row of holes (G%02d)", n))
	case 41, 42:
		r.WarnOnce("cutter compensation (G41, G42) ignored; the tool's own way is taken")
	default:
		r.Lose("unknown code G%02d ignored", n)
		return
	}
	r.known++
}

// changeUnit takes another unit. Tools keep the one they were sized in, which
// is seldom meant when places come in another.
func (r *reader) changeUnit(unit int64) {
	if r.unit != 0 && r.unit != unit && len(r.file.Hits) == 0 {
		for _, t := range r.tools {
			if t.sized && t.unit != 0 && t.unit != unit {
				r.Warn("tools are sized in %s, but the places are in %s: is one of them wrong?", unitName(t.unit),
					unitName(unit))
				break
			}
		}
	}
	r.unit = unit
}

func (r *reader) miscellaneous(n int) {
	switch n {
	case 48:
		r.header = true
	case 95:
		r.header = false
	case 71:
		r.changeUnit(scan.MM)
	case 72:
		r.changeUnit(scan.Inch)
	case 15:
		r.liftTool()
		r.down, r.cut = true, false
	case 16, 17:
		r.liftTool()
	case 25:
		r.pattern, r.patterns, r.shift = len(r.file.Hits), -1, geom.Point{}
	case 1:
		if r.pattern >= 0 {
			r.patterns = len(r.file.Hits)
		}
	case 8:
		r.pattern, r.patterns = -1, -1
	case 0, 2, 30:
		r.file.Complete = true
	case 6, 9, 14, 18, 47, 50, 60:
	default:
		r.Lose("unknown code M%02d ignored", n)
		return
	}
	r.known++
}

// move runs a line of coordinates: a hit, or a move or cut of a rout.
func (r *reader) move(m motion) {
	to := r.place(m)
	from := r.at
	if m.zero {
		r.origin = geom.Point{X: r.origin.X + to.X, Y: r.origin.Y + to.Y}
		if to != (geom.Point{}) {
			r.Warn("zero moved by G93")
		}
		return
	}
	r.at = to
	switch {
	case !r.rout:
		r.hit(to, to, false)
		return
	case r.plot == 0 || r.lifts && !r.down:
		return
	}
	if !r.lifts {
		r.WarnOnce("route without M15 and M16: every G01 to G03 is taken as a cut")
	}
	r.cut = true
	if r.plot == 1 {
		r.hit(from, to, true)
	} else {
		r.arc(from, to, m)
	}
}

// place gives where a line of coordinates leads.
func (r *reader) place(m motion) geom.Point {
	to := r.at
	for _, axis := range []struct {
		s      string
		v      *int64
		origin int64
	}{{m.x, &to.X, r.origin.X}, {m.y, &to.Y, r.origin.Y}} {
		if axis.s == "" {
			continue
		}
		v := r.length(axis.s)
		if r.incremental {
			v += *axis.v
		} else {
			v += axis.origin
		}
		if max(v, -v) > geom.MaxCoord {
			panic(r.Malformed("coordinate %s lies beyond a metre", fault.Short(axis.s)))
		}
		*axis.v = v
	}
	return to
}

// slot runs X..Y..G85X..Y..
func (r *reader) slot(start motion, rest []token) {
	var end motion
	for _, w := range rest {
		if (w.letter == 'X' || w.letter == 'Y') && w.value == "" {
			panic(r.Malformed("slot without coordinates"))
		}
		end.set(w)
	}
	if !end.given {
		panic(r.Malformed("slot without an end"))
	}
	from := r.place(start)
	r.at = from
	r.at = r.place(end)
	r.known++
	r.hit(from, r.at, false)
}

// liftTool ends a cut. A plunge without a cut is a hole.
func (r *reader) liftTool() {
	if r.down && !r.cut {
		r.hit(r.at, r.at, false)
	}
	r.down = false
}

// text passes over a line that is text: to be drilled (M97, M98) or for the
// operator.
func (r *reader) text(code int) bool {
	switch code {
	case 97, 98:
		r.Lose("text command M%d ignored", code)
	case 45, 47:
		r.Warn("text command M%d ignored", code)
	default:
		return false
	}
	return true
}
