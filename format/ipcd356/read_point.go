package ipcd356

import (
	"strings"
	"unicode"

	"ohmward/format/fault"
	"ohmward/geom"
)

// point reads one test record.
func (r *reader) point(c columns, kind Kind) {
	at, t, ok := findTail(c, earliestTail)
	if !ok {
		r.unread("no place X… Y… found in the record", c)
		return
	}
	rec := Record{Kind: kind, Line: r.Line, Access: -1, Mask: MaskUnknown}
	if at == tailFrom && inColumns(c) {
		r.fixed(&rec, c)
	} else {
		r.WarnFirst("columns are shifted: read by sense (first such record is told)")
		r.loose(&rec, c[:at])
	}
	if r.fill(&rec, t) {
		r.last = len(r.file.Records)
		r.file.Records = append(r.file.Records, rec)
	}
}

// continuation reads a record that gives another access to the one before.
// What it leaves blank is that record's.
func (r *reader) continuation(c columns) {
	if r.last < 0 {
		r.unread("a continuation without a record before it", c)
		return
	}
	rec := r.file.Records[r.last]
	rec.Line, rec.Again = r.Line, true
	_, t, ok := findTail(c, continuationStart)
	if !ok {
		r.sameplace(&rec, c)
		return
	}
	if net := c.cut(netFrom, netEnd); len(c) > tailFrom && net != "" && c.at(dashAt) == '-' {
		r.fixed(&rec, c)
	}
	if r.fill(&rec, t) {
		r.file.Records = append(r.file.Records, rec)
	}
}

// sameplace is a continuation without a place of its own.
func (r *reader) sameplace(rec *Record, c columns) {
	rest := columns(c.cut(continuationStart, len(c)))
	t := parseTail(rest)
	if t.junk != "" || t.hasX || t.access < 0 && t.hole < 0 {
		r.unread("the continuation is not understood", c)
		return
	}
	if r.fill(rec, t) {
		r.file.Records = append(r.file.Records, *rec)
	}
}

func (r *reader) unread(why string, c columns) {
	r.file.Unread++
	r.last = -1
	r.Warn("%s, %q: left out", why, fault.Short(strings.TrimSpace(string(c))))
}

// fixed takes net, part and pin from their columns.
func (r *reader) fixed(rec *Record, c columns) {
	rec.Net = c.cut(netFrom, netEnd)
	if over := c.cut(netEnd, refFrom); over != "" && c.at(netEnd) != ' ' && c.at(netEnd-1) != ' ' {
		rec.Net = c.cut(netFrom, refFrom)
		r.WarnFirst("net name %q is longer than its 14 columns", fault.Short(rec.Net))
	}
	rec.MidPoint = unicode.ToUpper(c.at(midAt)) == 'M'
	if c.at(dashAt) == '-' {
		r.part(rec, c.cut(refFrom, refEnd), c.cut(pinFrom, pinEnd))
	} else {
		r.part(rec, c.cut(refFrom-1, midAt), "")
	}
}

// loose takes net, part and pin from the words before a shifted tail.
func (r *reader) loose(rec *Record, head columns) {
	words := strings.Fields(string(head[min(netFrom, len(head)):]))
	if n := len(words); n > 0 && strings.EqualFold(words[n-1], "M") {
		rec.MidPoint = true
		words = words[:n-1]
	}
	if len(words) == 0 {
		return
	}
	rec.Net, words = words[0], words[1:]
	if gap := columns(head[:min(refFrom, len(head))]); len(head) > refFrom && head[refFrom] != ' ' &&
		gap.cut(netEnd, refFrom) == "" {
		rec.Net = head.cut(netFrom, netEnd) // blanks in the name, or none
		words = strings.Fields(string(head[refFrom:]))
	}
	ref, pin := splitPin(strings.Join(words, " "))
	if m, ok := strings.CutSuffix(ref, "M"); ok && strings.EqualFold(strings.TrimSpace(m), "via") {
		rec.MidPoint = true
		ref = "VIA"
	}
	r.part(rec, ref, pin)
}

// splitPin parts "J13   -2" at its dash; without one, at the last blank.
func splitPin(s string) (ref, pin string) {
	if i := strings.LastIndexByte(s, '-'); i >= 0 {
		return strings.TrimSpace(s[:i]), strings.TrimSpace(s[i+1:])
	}
	if i := strings.LastIndexByte(s, ' '); i >= 0 {
		return strings.TrimSpace(s[:i]), strings.TrimSpace(s[i+1:])
	}
	return s, ""
}

func (r *reader) part(rec *Record, ref, pin string) {
	rec.Via = strings.EqualFold(ref, "via")
	if rec.Via {
		ref, pin = "", ""
	}
	rec.Ref, rec.Pin = ref, pin
}

// fill takes over what the tail says; false where the record is left out.
func (r *reader) fill(rec *Record, t tail) bool {
	if t.hasX && t.hasY {
		at := geom.Point{X: r.nm(t.x), Y: r.nm(t.y)}
		if max(at.X, -at.X, at.Y, -at.Y) > geom.MaxCoord {
			r.file.Unread++
			r.Warn("a place beyond a metre: left out")
			return false
		}
		rec.At = at
	}
	if t.hole >= 0 {
		rec.Hole = r.nm(int64(t.hole))
		rec.Plated = rec.Kind != Unplated && t.plated != 'U'
		if t.plated == 0 && rec.Kind == Through {
			r.WarnFirst("a hole is said to be neither plated (P) nor unplated (U): taken as plated")
		}
	}
	if t.access >= 0 {
		rec.Access = t.access
	}
	if t.hasSize {
		rec.Size = [2]int64{r.nm(t.size[0]), r.nm(t.size[1])}
	}
	if t.rotation > 0 && r.radians {
		r.WarnFirst("rotation in radians is not read")
	} else if t.rotation >= 0 {
		rec.Rotation = t.rotation % 360
	}
	if t.mask >= 0 && t.mask <= 3 {
		rec.Mask = Mask(t.mask)
	}
	r.sloppy(t)
	return true
}

// sloppy tells of what the format does not allow but sense does.
func (r *reader) sloppy(t tail) {
	if t.bare {
		r.WarnFirst("a coordinate has no sign: taken as positive")
	}
	if t.lower {
		r.WarnFirst("letters in lower case")
	}
	if t.junk != "" {
		r.WarnFirst("%q at the end of a record is not understood: ignored", fault.Short(t.junk))
	}
}
