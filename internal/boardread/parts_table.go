package boardread

import (
	"bytes"
	"cmp"

	"ohmward/format/placement"
	"ohmward/internal/board"
)

// readTable reads a parts table, if it is one.
func (s *source) readTable() {
	t, err := placement.Read(bytes.NewReader(s.data), s.path)
	switch {
	case err != nil:
		s.ignore("cannot be read as a parts table: " + err.Error())
	case t.Kind == placement.None:
		s.ignore("no fabrication file")
	default:
		s.table, s.use, s.role = t, useValues, "parts list"
		s.why = "its columns make a " + t.Kind.String()
	}
}

// knownParts gathers what component layers, a whole board and parts tables
// say of parts; what stands nearer to the copper wins, in this order.
func (a *assembly) knownParts() map[string]partData {
	out := map[string]partData{}
	for _, s := range a.of(useComponents) {
		for ref, t := range s.parts {
			t.value = cmp.Or(t.value, s.values[ref], out[ref].value)
			out[ref] = t
		}
		for ref, v := range s.values {
			if t := out[ref]; t.value == "" {
				t.value = v
				out[ref] = t
			}
		}
	}
	for _, s := range a.of(useValues) {
		for _, r := range s.table.Rows {
			t := out[r.Ref]
			said := partData{value: r.Value, sided: r.Side != placement.SideUnknown, absent: r.NotFitted}
			if r.Side == placement.Bottom {
				said.side = board.Bottom
			}
			t.fill(said)
			out[r.Ref] = t
		}
	}
	a.copyParts(out)
	return out
}

// fill takes over what another says, except for places, where nothing is said.
func (t *partData) fill(o partData) {
	t.value = cmp.Or(t.value, o.value)
	if !t.sided {
		t.side, t.sided = o.side, o.sided
	}
	t.absent = t.absent || o.absent
}

// copyParts gives the parts of the second copy and on what is said of their
// like in the first, except for places.
func (a *assembly) copyParts(known map[string]partData) {
	if len(a.cells) == 0 {
		return
	}
	for _, p := range a.b.Pads {
		own := known[p.Ref]
		like, ok := known[a.unmarked(p.Ref)]
		if !ok || a.unmarked(p.Ref) == p.Ref {
			continue
		}
		own.fill(like)
		known[p.Ref] = own
	}
}
