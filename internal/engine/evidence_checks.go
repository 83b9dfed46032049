package engine

import (
	"fmt"
	"slices"
	"strings"

	"ohmward/internal/record"
)

// contradiction tells what in a case's findings cannot all be so. Findings are
// in the order they came.
func contradiction(c *record.Case, findings []record.Finding) error {
	gone := map[string]record.Finding{}
	for i, f := range findings {
		fail := func(format string, args ...any) error {
			return &record.Error{File: c.File, Line: f.Line, What: fmt.Sprintf(format, args...)}
		}
		if off, is := gone[f.Part]; is && f.Part != "" && slices.Contains(needPart, f.Done) {
			return fail("%s cannot be %s: it was removed by the finding in line %d; say refitted or replaced first, "+
				"or name the pads as a place", f.Part, f.Done, off.Line)
		}
		switch f.Done {
		case "removed":
			gone[f.Part] = f
		case "refitted", "replaced":
			delete(gone, f.Part)
		}
		for _, other := range findings[:i] {
			if why := against(other, f); why != "" {
				return fail("it contradicts the finding in line %d: %s; take out the one that is wrong, or say which "+
					"came first with after_reading", other.Line, why)
			}
		}
	}
	return nil
}

// needPart are the actions that a part must be in its place for.
var needPart = []string{"removed", "lifted", "reflowed", "wicked", "split", "warmed", "chilled"}

// against says how two findings about one thing contradict each other, or "".
func against(a, b record.Finding) string {
	if a.Part != b.Part || a.Place != b.Place || a.Done != b.Done || a.After != b.After {
		return ""
	}
	where := a.Part + a.Place
	switch {
	case a.Done == "looked" && (sights(a, b, "bridge", "nothing") || sights(a, b, "metal", "no metal")):
		return fmt.Sprintf("at %s one saw %s, the other %s", where, a.Seen, b.Seen)
	case a.Short != b.Short && a.Short != "" && b.Short != "" && (a.Short == "remains" || b.Short == "remains"):
		return fmt.Sprintf("after %s was %s the short is %s in one and %s in the other", where, a.Done, a.Short,
			b.Short)
	}
	return ""
}

func sights(a, b record.Finding, x, y string) bool {
	return a.Seen == x && b.Seen == y || a.Seen == y && b.Seen == x
}

// typedTwice gives the earlier reading, from 0, that reading i repeats in its
// places and to the last digit, with nothing done in between.
func typedTwice(c *record.Case, findings []record.Finding, i int) (int, bool) {
	r := c.Readings[i]
	for j, q := range c.Readings[:i] {
		same := q.FourWire == r.FourWire && q.From == r.From && q.To == r.To && q.Current == r.Current &&
			q.Sense == r.Sense
		if !same || q.Ohms != r.Ohms || q.Unit != r.Unit || q.Ohms.IsOpen() || !slices.Equal(q.Touches, r.Touches) {
			continue
		}
		if len(before(findings, j)) == len(before(findings, i)) {
			return j, true
		}
	}
	return 0, false
}

// onRemoved names the part, taken off before reading i, that one of its places
// names.
func onRemoved(r record.Reading, findings []record.Finding) string {
	off := takenOff(findings)
	for _, place := range []string{r.From, r.To, r.Current[0], r.Current[1], r.Sense[0], r.Sense[1]} {
		if part, _, is := strings.Cut(place, "."); is && slices.Contains(off, part) {
			return part
		}
	}
	return ""
}
