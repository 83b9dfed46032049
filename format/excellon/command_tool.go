package excellon

import (
	"fmt"
	"math"
	"strings"

	"ohmward/format/fault"
	"ohmward/format/internal/scan"
	"ohmward/geom"
)

// toolLine defines tools (with any of C, F, S, B, H, Z) or selects one.
func (r *reader) toolLine(s string, words []token) {
	first, last, ok := toolRange(words)
	if !ok {
		if words[0].value == "" && r.known == 0 {
			r.odd(s) // prose, not a drill file
			return
		}
		panic(r.Malformed("malformed tool number in %q", fault.Short(s)))
	}
	size, sized, other := 0.0, false, false
	for _, w := range words[1:] {
		switch w.letter {
		case 'C':
			if size, sized = scan.Decimal(w.value); !sized || size < 0 {
				panic(r.Malformed("malformed tool size %q", fault.Short(w.value)))
			}
			if strings.IndexByte(w.value, '.') < 0 && size > 0 { // digits as in coordinates
				size = float64(r.length(w.value)) / float64(max(r.unit, 1))
			}
		case 'F', 'S', 'B', 'H', 'Z':
			other = true
		}
	}
	r.known++
	known := r.tools[first] != nil
	if sized || r.header && !known || other && !known {
		for n := first; n <= last; n++ {
			r.tools[n] = r.newTool(size, sized)
		}
	}
	if !r.header || known && !sized { // some headers never end
		r.liftTool()
		r.current = r.chosen(first, words[0].value)
		r.afterTool(words[1:])
	}
}

// afterTool runs coordinates that follow a tool in its own line.
func (r *reader) afterTool(words []token) {
	var m motion
	for _, w := range words {
		if (w.letter == 'X' || w.letter == 'Y') && w.value != "" {
			m.set(w)
		}
	}
	if m.given {
		r.move(m)
	}
}

func (r *reader) newTool(size float64, sized bool) *tool {
	t := &tool{size: size, unit: r.unit, sized: sized, function: r.function}
	if t.plating = platingOf(r.function); t.plating == PlatingUnknown {
		t.plating = r.section
	}
	return t
}

func sizeless(tool int) string {
	return fmt.Sprintf("tool T%d has no size: its holes are left out", tool)
}

// toolRange reads T1, T01-05 or T01-T05.
func toolRange(words []token) (first, last int, ok bool) {
	a, b, ranged := strings.Cut(words[0].value, "-")
	first, ok = scan.Whole(a)
	last = first
	if ranged && b == "" && len(words) > 1 && words[1].letter == 'T' {
		b = words[1].value
	}
	if ranged && ok {
		last, ok = scan.Whole(b)
	}
	return first, last, ok && first >= 0 && last >= first && last <= maxTool
}

// chosen takes T0102 for tool 1 with compensation 2 where only that exists.
func (r *reader) chosen(n int, digits string) int {
	if len(digits) == 4 && r.tools[n] == nil {
		if m, ok := scan.Whole(digits[:2]); ok && r.tools[m] != nil {
			return m
		}
	}
	return n
}

// hit adds a hole, slot or cut with the tool in hand.
func (r *reader) hit(from, to geom.Point, routed bool) {
	if len(r.file.Hits) >= r.limits.hits {
		panic(r.Unsupported("too large: more than %d hits", r.limits.hits))
	}
	if r.current == 0 {
		r.LoseOnce("hits without a tool: their holes are left out")
	}
	h := Hit{At: from, To: to, Tool: r.current, Line: r.Line, Routed: routed}
	t, hint := r.tools[r.current], r.hints[r.current]
	if t != nil {
		h.Plating, h.Function = t.plating, t.function
	}
	if hint != nil && h.Plating == PlatingUnknown {
		h.Plating = hint.plating
	}
	if t == nil || !t.sized {
		if r.current != 0 && hint == nil {
			r.LoseOnce("%s", sizeless(r.current))
		}
		t = hint
	}
	if t != nil {
		unit := t.unit
		if unit == 0 {
			unit = r.unit
		}
		d := t.size * float64(unit)
		if d > geom.MaxCoord {
			panic(r.Malformed("tool T%d is wider than a metre", r.current))
		}
		h.Diameter = int64(math.Round(d))
	}
	if h.Plating == PlatingUnknown {
		h.Plating = r.section
	}
	r.sections[h.Plating] = true
	r.file.Hits = append(r.file.Hits, h)
}
