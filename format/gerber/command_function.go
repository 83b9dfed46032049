package gerber

import (
	"strings"

	"ohmward/format/fault"
	"ohmward/format/internal/scan"
)

// codes is one function word taken apart.
type codes struct {
	g          []int
	m, d       int // -1: none
	x, y, i, j string
}

func (c codes) placed() bool { return c.x != "" || c.y != "" || c.i != "" || c.j != "" }

// split takes a function word apart; odd is the stretch it did not
// understand.
func split(s string) (c codes, odd string) {
	c.m, c.d = -1, -1
	for s != "" {
		if s[0] == ' ' {
			s = s[1:]
			continue
		}
		rest := strings.TrimLeft(s[1:], "0123456789+-. ")
		value := strings.TrimSpace(s[1 : len(s)-len(rest)])
		number, whole := scan.Whole(value)
		letter := s[0] &^ 0x20
		switch {
		case letter == 'X':
			c.x = value
		case letter == 'Y':
			c.y = value
		case letter == 'I':
			c.i = value
		case letter == 'J':
			c.j = value
		case letter == 'G' && whole:
			c.g = append(c.g, number)
		case letter == 'D' && whole && number >= 0:
			c.d = number
		case letter == 'M' && whole && number >= 0:
			c.m = number
		case letter == 'N' && whole: // line numbers of old writers
		default:
			return c, s
		}
		if value == "" {
			return c, s
		}
		s = rest
	}
	return c, ""
}

// function runs one word outside percent signs.
func (r *reader) function(s string) {
	s = strings.TrimSpace(s)
	if s == "" {
		return
	}
	if isComment(s) {
		r.known++
		r.comment(s)
		return
	}
	c, odd := split(s)
	if odd != "" {
		if c.placed() || odd[0]&^0x20 >= 'X' && odd[0]&^0x20 <= 'Y' {
			panic(r.Malformed("malformed coordinates %q", fault.Short(s)))
		}
		r.Lose("unknown command %q ignored", fault.Short(s))
		return
	}
	r.known++
	for _, g := range c.g {
		r.general(g)
	}
	if c.m >= 0 {
		r.miscellaneous(c.m)
		return
	}
	switch {
	case c.d >= 10:
		if c.placed() {
			r.Lose("coordinates beside D%d ignored", c.d)
		}
		r.choose(c.d)
		return
	case c.d > 3:
		r.Lose("unknown code D%02d ignored", c.d)
		return
	case c.d == 0:
		r.Lose("unknown code D00 ignored")
		return
	case c.d > 0:
		r.operation = c.d
	case !c.placed():
		return
	case r.operation == 0:
		r.Lose("coordinates before any D01, D02 or D03 ignored")
		return
	}
	r.operate(c)
}

func (r *reader) general(g int) {
	switch g {
	case 0, 1:
		r.plot = 1
	case 2, 3:
		r.plot = g
	case 36:
		r.beginRegion()
	case 37:
		r.endRegion()
	case 54, 55: // prepares a tool or a flash: the D code says all
	case 70:
		r.setUnit(scan.Inch)
	case 71:
		r.setUnit(scan.MM)
	case 74, 75:
		r.quadrant = g
	case 90:
		r.incremental = false
	case 91:
		r.incremental = true
	default:
		r.Lose("unknown code G%02d ignored", g)
	}
}

func (r *reader) miscellaneous(m int) {
	switch m {
	case 0, 2, 30:
		r.img.Complete = true
	case 1:
	default:
		r.Warn("unknown code M%02d ignored", m)
	}
}

// choose selects an aperture. One that is not defined is an error only when
// something is painted with it.
func (r *reader) choose(code int) {
	r.selected = code
	r.aperture = r.apertures[code]
	if r.aperture == nil {
		r.Warn("aperture D%d is not defined", code)
	}
}
