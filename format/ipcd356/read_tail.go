package ipcd356

import (
	"strings"
	"unicode"
)

// tail is what follows the pin in a test record, from column 33:
//
//	D0157PA00X+014149Y+002982X0315Y0000R000S3
//
// Numbers are as written; -1 stands for what is not there.
type tail struct {
	hole, access, rotation, mask int
	plated                       rune // 'P', 'U' or 0
	x, y                         int64
	hasX, hasY, bare             bool // bare: a coordinate without its sign
	size                         [2]int64
	hasSize                      bool
	lower                        bool // letters in lower case
	junk                         string
}

// cursor walks over the letters and digits of a tail.
type cursor struct {
	text columns
	at   int
}

func (s *cursor) blanks() {
	for s.at < len(s.text) && s.text[s.at] == ' ' {
		s.at++
	}
}

// number takes an optional sign and at most most digits, blanks before and
// between the sign and the digits allowed.
func (s *cursor) number(most int) (v int64, signed, ok bool) {
	start := s.at
	s.blanks()
	sign := int64(1)
	if s.at < len(s.text) && (s.text[s.at] == '+' || s.text[s.at] == '-') {
		signed = true
		if s.text[s.at] == '-' {
			sign = -1
		}
		s.at++
		s.blanks()
	}
	n := 0
	for s.at < len(s.text) && s.text[s.at] >= '0' && s.text[s.at] <= '9' && n < most {
		v = 10*v + int64(s.text[s.at]-'0')
		s.at++
		n++
	}
	if n == 0 {
		s.at = start
	}
	return sign * v, signed, n > 0
}

// parseTail reads a tail as far as it can; the rest is its junk.
func parseTail(text columns) tail {
	t := tail{hole: -1, access: -1, rotation: -1, mask: -1}
	s := &cursor{text: text}
	for {
		s.blanks()
		if s.at >= len(text) {
			return t
		}
		start := s.at
		c := unicode.ToUpper(text[start])
		s.at++
		if !t.field(c, s) {
			t.junk = string(text[start:])
			return t
		}
		t.lower = t.lower || c != text[start]
	}
}

// field reads one letter's field; false where it cannot stand here.
func (t *tail) field(c rune, s *cursor) bool {
	switch c {
	case 'D':
		return !t.hasX && s.small(&t.hole, 5)
	case 'P', 'U':
		if t.hasX || t.plated != 0 {
			return false
		}
		t.plated = c
		return true
	case 'A':
		return !t.hasX && s.small(&t.access, 2)
	case 'X':
		if !t.hasX {
			return t.place(&t.x, &t.hasX, s)
		}
		return t.hasY && !t.hasSize && t.side(0, s)
	case 'Y':
		if !t.hasY {
			return t.hasX && t.place(&t.y, &t.hasY, s)
		}
		return t.hasSize && t.size[1] == 0 && t.side(1, s)
	case 'R':
		return t.hasY && s.small(&t.rotation, 3)
	case 'S':
		return t.hasY && s.small(&t.mask, 1)
	}
	return false
}

func (t *tail) place(v *int64, has *bool, s *cursor) bool {
	n, signed, ok := s.number(9)
	if !ok {
		return false
	}
	*v, *has = n, true
	t.bare = t.bare || !signed
	return true
}

func (t *tail) side(i int, s *cursor) bool {
	n, _, ok := s.number(6)
	if !ok || n < 0 {
		return false
	}
	t.size[i], t.hasSize = n, true
	return true
}

// small reads a number without sign that was not there before.
func (s *cursor) small(to *int, most int) bool {
	if *to >= 0 {
		return false
	}
	n, signed, ok := s.number(most)
	if !ok || signed {
		return false
	}
	*to = int(n)
	return true
}

// Columns of the fixed part, 0-based: net 4-17, part 21-26, pin 28-31,
// mid-point 32, the rest from 33 (REFERENCES E3).
const (
	netFrom, netEnd   = 3, 17
	refFrom, refEnd   = 20, 26
	dashAt            = 26
	pinFrom, pinEnd   = 27, 31
	midAt             = 31
	tailFrom          = 32
	earliestTail      = 17
	latestTail        = 100
	continuationStart = 3
)

// findTail finds where the tail begins: in column 33, or where shifted
// columns put it. ok is false where no place holds a full tail.
func findTail(c columns, from int) (at int, t tail, ok bool) {
	var nominal tail
	if len(c) > tailFrom {
		nominal = parseTail(c[tailFrom:])
	}
	full := nominal.hasX && nominal.hasY
	if full && inColumns(c) {
		return tailFrom, nominal, true
	}
	for at = from; at < min(len(c), latestTail); at++ {
		switch unicode.ToUpper(c[at]) {
		case 'D', 'A', 'X':
		default:
			continue
		}
		if b := unicode.ToUpper(c[at-1]); b != ' ' && b != 'M' && at > continuationStart {
			continue
		}
		if t = parseTail(c[at:]); t.hasX && t.hasY && (t.junk == "" || t.hasSize) {
			return at, t, true
		}
	}
	return tailFrom, nominal, full
}

// inColumns tells whether the columns before the tail are kept: the dash
// between part and pin in its own, or none, and a blank or M before the tail.
func inColumns(c columns) bool {
	if b := c.at(midAt); b != ' ' && b != 'M' && b != 'm' {
		return false
	}
	return c.at(dashAt) == '-' || !strings.ContainsRune(string(c[earliestTail:midAt]), '-')
}
