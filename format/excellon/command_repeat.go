package excellon

import (
	"ohmward/format/fault"
	"ohmward/format/internal/scan"
	"ohmward/geom"
)

// repeat runs R#X..Y.. (the last hit again) or R#M02X..Y.. (the pattern).
func (r *reader) repeat(words []token) {
	n, ok := scan.Whole(words[0].value)
	if !ok || n < 0 {
		panic(r.Malformed("malformed repeat count %q", fault.Short(words[0].value)))
	}
	if n > r.limits.hits {
		panic(r.Unsupported("too large: %d repeats", n))
	}
	r.known++
	rest := words[1:]
	if len(rest) > 0 && rest[0].letter == 'M' {
		r.repeatPattern(n, rest[1:])
		return
	}
	d := r.step(rest)
	if len(r.file.Hits) == 0 {
		r.Lose("repeat before any hit ignored")
		return
	}
	last := r.file.Hits[len(r.file.Hits)-1]
	for range n {
		last = r.copyHit(last, d)
	}
	r.at = last.To
}

// step reads the X and Y of a repeat, a distance in any mode.
func (r *reader) step(words []token) (d geom.Point) {
	for _, w := range words {
		switch w.letter {
		case 'X':
			d.X = r.length(w.value)
		case 'Y':
			d.Y = r.length(w.value)
		case 'M':
			panic(r.Unsupported("pattern repeated with turned or mirrored axes (M%s)", w.value))
		}
	}
	return d
}

// repeatPattern copies the pattern begun by M25 n times, each one step beyond
// the copy before it.
func (r *reader) repeatPattern(n int, words []token) {
	d := r.step(words)
	if r.pattern < 0 {
		r.Lose("repeat of a pattern that was not begun ignored")
		return
	}
	if r.patterns < 0 {
		r.patterns = len(r.file.Hits)
	}
	count := r.patterns - r.pattern
	if count > 0 && n > r.limits.hits/count {
		panic(r.Unsupported("too large: %d repeats of %d hits", n, count))
	}
	for range n {
		r.shift = geom.Point{X: r.shift.X + d.X, Y: r.shift.Y + d.Y}
		for _, h := range r.file.Hits[r.pattern:r.patterns] {
			r.copyHit(h, r.shift)
		}
		if count == 0 {
			break
		}
	}
}

func (r *reader) copyHit(h Hit, d geom.Point) Hit {
	if len(r.file.Hits) >= r.limits.hits {
		panic(r.Unsupported("too large: more than %d hits", r.limits.hits))
	}
	h.At = geom.Point{X: h.At.X + d.X, Y: h.At.Y + d.Y}
	h.To = geom.Point{X: h.To.X + d.X, Y: h.To.Y + d.Y}
	h.Line = r.Line
	for _, v := range []int64{h.At.X, h.At.Y, h.To.X, h.To.Y} {
		if max(v, -v) > geom.MaxCoord {
			panic(r.Malformed("repeat reaches beyond a metre"))
		}
	}
	r.file.Hits = append(r.file.Hits, h)
	return h
}
