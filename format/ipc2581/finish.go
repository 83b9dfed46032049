package ipc2581

import (
	"cmp"
	"maps"
	"slices"
	"strings"

	"ohmward/format/fault"
	"ohmward/geom"
)

// finish settles the design from what was gathered.
func (r *reader) finish() error {
	s := r.best
	if s == nil {
		return r.Malformed("no Step: the file holds no board data")
	}
	d := r.out
	d.Step, d.Profile, d.Points, d.Shorts = s.name, s.profile, s.points, s.shorts
	if d.Name == "" {
		d.Name = s.name
	}
	r.layersInOrder(s)
	if len(d.Layers) == 0 {
		return r.Malformed("no copper layer is declared")
	}
	r.images(s)
	r.drills(s)
	r.components(s)
	r.nets(s)
	r.doubts(s)
	return nil
}

// images hands every layer its objects.
func (r *reader) images(s *stepData) {
	d := r.out
	pads := map[padPlace]bool{}
	for name, objects := range s.sheets {
		for _, o := range objects {
			if o.IsPad {
				pads[padPlace{name, o.At}] = true
			}
		}
	}
	for _, p := range s.oldPads {
		if l := r.layers[p.layer]; l != nil && !pads[padPlace{p.layer, p.pad.At}] {
			o := p.pad
			o.Dark = !(l.negative && l.copper())
			s.sheets[p.layer] = append(s.sheets[p.layer], o)
			s.fed[p.layer] = true
		}
	}
	for i := range d.Layers {
		l := &d.Layers[i]
		l.Objects = s.sheets[l.Name]
		if !s.fed[l.Name] {
			r.LoseAt(r.layers[l.Name].line, "copper layer %q has no features: its copper is missing", shorten(l.Name))
			continue
		}
		if l.Negative {
			flood := Object{Dark: true, Rings: s.profile, Usage: "PLANE", Line: r.layers[l.Name].line}
			if len(s.profile) == 0 {
				r.LoseAt(flood.Line, "negative layer %q cannot be flooded: there is no profile", shorten(l.Name))
				continue
			}
			flood.At = s.profile[0][0]
			l.Objects = append([]Object{flood}, l.Objects...)
		}
	}
	for _, name := range r.order {
		switch l := r.layers[name]; {
		case l.mask():
			d.Mask.add(l, s.sheets[name])
		case l.paste():
			d.Paste.add(l, s.sheets[name])
		}
	}
}

type padPlace struct {
	layer string
	at    geom.Point
}

func (s *Sides) add(l *layerInfo, objects []Object) {
	switch l.side {
	case "TOP":
		s.Top = append(s.Top, objects...)
	case "BOTTOM":
		s.Bottom = append(s.Bottom, objects...)
	}
}

// drills settles the holes and their spans.
func (r *reader) drills(s *stepData) {
	all := slices.Concat(s.holes, r.missing(s, s.oldHoles))
	if len(all) == 0 {
		if all = unique(s.padHoles); len(all) > 0 {
			r.WarnAt(s.line, "no drill layer holds a hole; %d holes are taken from the pad stacks", len(all))
		}
	} else if lost := unique(r.missing(s, s.padHoles)); len(lost) > 0 && len(s.holes) > 0 {
		x, y := lost[0].At.MM()
		r.LoseAt(lost[0].Line,
			"%d pads have a hole in their pad stack that no drill layer holds; the first at (%.3f, %.3f) mm",
			len(lost), x, y)
	}
	first, last := r.reaches()
	for _, h := range all {
		from, to := h.from, h.to
		if l := r.layers[h.layer]; l != nil && from == "" && to == "" {
			from, to = l.from, l.to
		}
		h.First, h.Last = 0, len(r.out.Layers)-1
		a, okA := first[from]
		_, okB := first[to]
		switch {
		case okA && okB:
			b := last[to]
			if a > b {
				a, b = first[to], last[from]
			}
			if a > b {
				r.WarnOnceAt(h.Line, "a drill span from %q to %q holds no copper layer", shorten(from), shorten(to))
				continue
			}
			h.First, h.Last = a, b
		case from != "" || to != "":
			r.WarnOnceAt(h.Line, "a drill span from %q to %q is not between layers of the stack-up: taken as through",
				shorten(from), shorten(to))
		}
		r.out.Holes = append(r.out.Holes, h.Hole)
	}
}

// reaches gives for each layer of the stack-up the first copper layer at it
// or below, and the last at it or above.
func (r *reader) reaches() (first, last map[string]int) {
	first, last = map[string]int{}, map[string]int{}
	index := map[string]int{}
	for i, l := range r.out.Layers {
		index[l.Name], first[l.Name], last[l.Name] = i, i, i
	}
	above := -1
	for _, w := range r.out.Stack {
		if i, ok := index[w.Name]; ok {
			above = i
			continue
		}
		first[w.Name], last[w.Name] = above+1, above
	}
	return first, last
}

// missing gives the holes that no hole of the drill layers covers.
func (r *reader) missing(s *stepData, holes []drilled) []drilled {
	have := map[geom.Point]bool{}
	var slots []drilled
	const cell = 1000 // nm; writers round apart
	for _, h := range s.holes {
		if h.Outline != nil {
			slots = append(slots, h)
		}
		for dx := int64(-1); dx <= 1; dx++ {
			for dy := int64(-1); dy <= 1; dy++ {
				have[geom.Point{X: h.At.X/cell + dx, Y: h.At.Y/cell + dy}] = true
			}
		}
	}
	var out []drilled
	for _, h := range holes {
		if have[geom.Point{X: h.At.X / cell, Y: h.At.Y / cell}] {
			continue
		}
		if slices.ContainsFunc(slots, func(o drilled) bool { return o.Outline.Bounds().Holds(h.At) }) {
			continue
		}
		out = append(out, h)
	}
	return out
}

// unique drops holes at the same place, which every layer's pad repeats.
func unique(holes []drilled) []drilled {
	seen := map[geom.Point]bool{}
	var out []drilled
	for _, h := range holes {
		if !seen[h.At] {
			seen[h.At] = true
			out = append(out, h)
		}
	}
	return out
}

// nets settles which pins each net has, and names pads by them.
func (r *reader) nets(s *stepData) {
	d := r.out
	d.NetPins, d.NetClass = s.netPins, s.netClass
	delete(d.NetPins, "")
	delete(d.NetClass, "")
	d.NetsDeclared = len(d.NetPins) > 0
	of := map[string]string{}
	for _, net := range slices.Sorted(maps.Keys(d.NetPins)) {
		slices.Sort(d.NetPins[net])
		pins := slices.Compact(d.NetPins[net])
		d.NetPins[net] = pins
		for _, pin := range pins {
			if was := of[pin]; was != "" && was != net {
				r.WarnAt(s.line, "pin %s is in the nets %q and %q", shorten(pin), shorten(was), shorten(net))
			}
			of[pin] = net
		}
	}
	for i := range d.Layers {
		for k := range d.Layers[i].Objects {
			o := &d.Layers[i].Objects[k]
			if !o.IsPad || o.Pin == "" {
				continue
			}
			pin := o.Ref + "." + o.Pin
			switch net := of[pin]; {
			case o.Net == "" && net != "":
				o.Net = net
			case d.NetsDeclared && net != "" && net != o.Net:
				r.WarnAt(o.Line, "the pad of pin %s is drawn in net %q but listed in %q", shorten(pin), shorten(o.Net),
					shorten(net))
			case !d.NetsDeclared && o.Net != "":
				d.NetPins[o.Net] = append(d.NetPins[o.Net], pin)
			}
		}
	}
	for net, pins := range d.NetPins {
		slices.Sort(pins)
		d.NetPins[net] = slices.Compact(pins)
	}
}

// doubts tells of what is missing or at odds in the whole.
func (r *reader) doubts(s *stepData) {
	if r.boards > 1 {
		r.WarnAt(s.line, "the file holds %d boards; step %q is read", r.boards, shorten(s.name))
	}
	if len(s.profile) == 0 {
		r.WarnAt(s.line, "the step has no profile: the board's outline is not known")
	}
	if len(r.out.Holes) == 0 && len(r.out.Layers) > 1 {
		r.WarnAt(s.line, "no holes: nothing joins the %d copper layers", len(r.out.Layers))
	}
	for _, name := range r.order {
		l := r.layers[name]
		if (l.function == "DRILL" || l.function == "ROUT") && !s.fed[name] {
			r.WarnAt(l.line, "%s layer %q has no features", strings.ToLower(l.function), shorten(name))
		}
	}
	slices.SortStableFunc(r.Warnings, func(a, b fault.Warning) int { return cmp.Compare(a.Line, b.Line) })
}
