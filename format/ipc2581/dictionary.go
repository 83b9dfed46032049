package ipc2581

import "strings"

// content reads the dictionaries and which step is meant.
func (r *reader) content() {
	r.each(func(e *element) {
		switch {
		case e.name == "StepRef":
			r.full(len(r.wanted), "steps")
			r.wanted = append(r.wanted, e.attr("name"))
		case strings.HasPrefix(e.name, "Dictionary"):
			r.dictionary(e)
		}
	})
}

// dictionary reads one dictionary in its own unit.
func (r *reader) dictionary(e *element) {
	before := r.scale
	defer func() { r.scale = before }()
	if u := e.attr("units"); u != "" {
		if r.scale = perUnit(u); r.scale == 0 {
			panic(r.Malformed("<%s> has units %q, not MILLIMETER, MICRON or INCH", shorten(e.name), shorten(u)))
		}
	}
	kind := strings.TrimPrefix(e.name, "Dictionary")
	r.named("Entry"+kind, func(e *element) { r.entry(kind, e.attr("id")) })
}

func (r *reader) entry(kind, id string) {
	switch kind {
	case "LineDesc":
		r.named("LineDesc", func(e *element) {
			r.full(len(r.lines), "line descriptions")
			r.lines[id] = r.lineDesc(e)
		})
	case "FillDesc":
		r.named("FillDesc", func(e *element) {
			r.fills[id] = e.attr("fillProperty")
			r.full(len(r.fills), "fill descriptions")
		})
	case "Standard":
		r.primitive(r.standards, id)
	case "User":
		r.primitive(r.users, id)
	}
}

func (r *reader) primitive(table map[string]*shape, id string) {
	r.each(func(e *element) {
		s := r.readShape(e)
		if s == nil {
			return
		}
		if table[id] != nil {
			r.WarnOnce("primitive %q is defined twice; the last counts", shorten(id))
		}
		table[id] = s
		r.full(len(table), "primitives")
	})
}
