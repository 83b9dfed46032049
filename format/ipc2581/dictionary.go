package ipc2581

import "strings"

// content reads the dictionaries and which step is meant.
func (r *reader) content() error {
	return r.each(func(e *element) error {
		switch {
		case e.name == "StepRef":
			if err := r.full(len(r.wanted), "steps"); err != nil {
				return err
			}
			r.wanted = append(r.wanted, e.attr("name"))
		case strings.HasPrefix(e.name, "Dictionary"):
			return r.dictionary(e)
		}
		return nil
	})
}

// dictionary reads one dictionary in its own unit.
func (r *reader) dictionary(e *element) error {
	before := r.scale
	defer func() { r.scale = before }()
	if u := e.attr("units"); u != "" {
		if r.scale = perUnit(u); r.scale == 0 {
			return r.Malformed("<%s> has units %q, not MILLIMETER, MICRON or INCH", shorten(e.name), shorten(u))
		}
	}
	kind := strings.TrimPrefix(e.name, "Dictionary")
	return r.each(func(e *element) error {
		if e.name != "Entry"+kind {
			return nil
		}
		return r.entry(kind, e.attr("id"))
	})
}

func (r *reader) entry(kind, id string) error {
	switch kind {
	case "LineDesc":
		return r.each(func(e *element) error {
			if e.name != "LineDesc" {
				return nil
			}
			width, ends, err := r.lineDesc(e)
			if err == nil {
				err = r.full(len(r.lines), "line descriptions")
			}
			r.lines[id] = lineStyle{width, ends}
			return err
		})
	case "FillDesc":
		return r.each(func(e *element) error {
			if e.name == "FillDesc" {
				r.fills[id] = e.attr("fillProperty")
			}
			return r.full(len(r.fills), "fill descriptions")
		})
	case "Standard":
		return r.primitive(r.standards, id)
	case "User":
		return r.primitive(r.users, id)
	}
	return nil
}

func (r *reader) primitive(table map[string]*shape, id string) error {
	return r.each(func(e *element) error {
		s, err := r.readShape(e)
		if err != nil || s == nil {
			return err
		}
		if table[id] != nil {
			r.WarnOnce("primitive %q is defined twice; the last counts", shorten(id))
		}
		table[id] = s
		return r.full(len(table), "primitives")
	})
}
