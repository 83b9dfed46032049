package ipc2581

import (
	"slices"
	"strconv"
	"strings"
)

// layersInOrder gives the copper layers from top to bottom: by the stack-up,
// else by their sides.
func (r *reader) layersInOrder(s *stepData) {
	rows := r.chosen()
	rows = r.facing(rows)
	seen := map[string]bool{}
	var names []string
	gaps := map[string]int64{} // dielectric below a copper layer
	thick := map[string]int64{}
	last := ""
	for _, w := range rows {
		l := r.layers[w.ref]
		copper := l != nil && l.copper()
		function := ""
		if l != nil {
			function = l.function
		}
		r.out.Stack = append(r.out.Stack, StackLayer{Name: w.ref, Function: function, Thickness: w.thickness,
			Sequence: w.sequence, Material: r.material(w.spec), Copper: copper})
		switch {
		case copper && seen[w.ref]:
			r.WarnAt(l.line, "layer %q stands twice in the stack-up", shorten(w.ref))
		case copper:
			seen[w.ref] = true
			names = append(names, w.ref)
			thick[w.ref], last = w.thickness, w.ref
		case last != "":
			gaps[last] += w.thickness
		}
	}
	names = r.unstacked(s, names, seen)
	for i, name := range names {
		l := r.layers[name]
		layer := Layer{Name: name, Side: l.side, Function: l.function, Negative: l.negative, Thickness: thick[name]}
		if i < len(names)-1 && seen[name] && seen[names[i+1]] {
			layer.Below = gaps[name]
		}
		switch {
		case i == 0 && len(names) > 1:
			layer.Side = "TOP"
		case i == len(names)-1 && len(names) > 1:
			layer.Side = "BOTTOM"
		case len(names) > 1:
			layer.Side = "INTERNAL"
		}
		r.out.Layers = append(r.out.Layers, layer)
	}
}

// material finds a specification's text. Some writers put a word before the
// name they refer to, and a number behind the name itself.
func (r *reader) material(ref string) string {
	if text := r.specs[ref]; text != "" {
		return text
	}
	ref = strings.TrimPrefix(ref, "SPEC_")
	if text := r.specs[ref]; text != "" {
		return text
	}
	for n := 1; n < 4; n++ {
		if text := r.specs[ref+"_"+strconv.Itoa(n)]; text != "" {
			return text
		}
	}
	return ""
}

// chosen gives the rows of the stack-up with the most copper.
func (r *reader) chosen() []row {
	var best []row
	most := -1
	for _, s := range r.stacks {
		rows := s.rows()
		n := 0
		for _, w := range rows {
			if l := r.layers[w.ref]; l != nil && l.copper() {
				n++
			}
		}
		if n > most {
			best, most = rows, n
			r.out.Thickness, r.out.Measured = s.thickness, s.measured
		}
	}
	if len(r.stacks) > 1 {
		r.flex("there are several stack-ups")
	}
	return best
}

// facing turns rows that run from the bottom.
func (r *reader) facing(rows []row) []row {
	first, last := "", ""
	for _, w := range rows {
		if l := r.layers[w.ref]; l != nil && l.copper() {
			if first == "" {
				first = l.side
			}
			last = l.side
		}
	}
	if first == "BOTTOM" && last == "TOP" {
		r.WarnOnce("the stack-up runs from the bottom; turned over")
		rows = slices.Clone(rows)
		slices.Reverse(rows)
	}
	return rows
}

// unstacked adds copper layers that the stack-up lacks: those on top before,
// those at the bottom after, inner ones above the lowest. Layers that carry
// nothing and stand in no stack-up are left out if there is one.
func (r *reader) unstacked(s *stepData, names []string, seen map[string]bool) []string {
	had := len(names) > 0
	var top, inner, bottom []string
	for _, name := range r.order {
		l := r.layers[name]
		if !l.copper() || seen[name] || had && len(s.sheets[name]) == 0 {
			continue
		}
		if had {
			r.WarnAt(l.line, "copper layer %q is not in the stack-up; placed by its side", shorten(name))
		}
		switch l.side {
		case "TOP":
			top = append(top, name)
		case "BOTTOM":
			bottom = append(bottom, name)
		default:
			inner = append(inner, name)
		}
	}
	if !had {
		if len(inner) > 0 || len(top)+len(bottom) > 2 {
			r.WarnOnce("no stack-up names the copper layers: their order is that of their declaration")
		}
		return slices.Concat(top, inner, bottom)
	}
	if len(inner) > 0 {
		at := len(names)
		if l := r.layers[names[at-1]]; l.side == "BOTTOM" {
			at--
		}
		names = slices.Insert(names, at, inner...)
	}
	return slices.Concat(top, names, bottom)
}
