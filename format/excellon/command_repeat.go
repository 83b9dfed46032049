package excellon

import (
	"ohmward/format/fault"
	"ohmward/format/internal/scan"
	"ohmward/geom"
)

// repeat runs R#X..Y.. (the last hit again) or R#M02X..Y.. (the pattern).
func (r *reader) repeat(words []token) error {
	n, ok := scan.Whole(words[0].value)
	if !ok || n < 0 {
		return r.Malformed("malformed repeat count %q", fault.Short(words[0].value))
	}
	if n > r.limits.hits {
		return r.Unsupported("too large: %d repeats", n)
	}
	r.known++
	rest := words[1:]
	if len(rest) > 0 && rest[0].letter == 'M' {
		return r.repeatPattern(n, rest[1:])
	}
	d, err := r.step(rest)
	if err != nil {
		return err
	}
	if len(r.file.Hits) == 0 {
		r.Warn("repeat before any hit ignored")
		return nil
	}
	last := r.file.Hits[len(r.file.Hits)-1]
	for range n {
		if last, err = r.copyHit(last, d); err != nil {
			return err
		}
	}
	r.at = last.To
	return nil
}

// step reads the X and Y of a repeat, a distance in any mode.
func (r *reader) step(words []token) (d geom.Point, err error) {
	for _, w := range words {
		switch w.letter {
		case 'X':
			d.X, err = r.length(w.value)
		case 'Y':
			d.Y, err = r.length(w.value)
		case 'M':
			err = r.Unsupported("pattern repeated with turned or mirrored axes (M%s)", w.value)
		}
		if err != nil {
			return d, err
		}
	}
	return d, nil
}

// repeatPattern copies the pattern begun by M25 n times, each one step beyond
// the copy before it.
func (r *reader) repeatPattern(n int, words []token) error {
	d, err := r.step(words)
	if err != nil {
		return err
	}
	if r.pattern < 0 {
		r.Warn("repeat of a pattern that was not begun ignored")
		return nil
	}
	if r.patterns < 0 {
		r.patterns = len(r.file.Hits)
	}
	count := r.patterns - r.pattern
	if count > 0 && n > r.limits.hits/count {
		return r.Unsupported("too large: %d repeats of %d hits", n, count)
	}
	for range n {
		r.shift = geom.Point{X: r.shift.X + d.X, Y: r.shift.Y + d.Y}
		for _, h := range r.file.Hits[r.pattern:r.patterns] {
			if _, err := r.copyHit(h, r.shift); err != nil {
				return err
			}
		}
		if count == 0 {
			break
		}
	}
	return nil
}

func (r *reader) copyHit(h Hit, d geom.Point) (Hit, error) {
	if len(r.file.Hits) >= r.limits.hits {
		return h, r.Unsupported("too large: more than %d hits", r.limits.hits)
	}
	h.At = geom.Point{X: h.At.X + d.X, Y: h.At.Y + d.Y}
	h.To = geom.Point{X: h.To.X + d.X, Y: h.To.Y + d.Y}
	h.Line = r.Line
	for _, v := range []int64{h.At.X, h.At.Y, h.To.X, h.To.Y} {
		if max(v, -v) > geom.MaxCoord {
			return h, r.Malformed("repeat reaches beyond a metre")
		}
	}
	r.file.Hits = append(r.file.Hits, h)
	return h, nil
}
