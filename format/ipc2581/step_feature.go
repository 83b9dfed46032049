package ipc2581

import (
	"strings"

	"ohmward/geom"
)

// set is one Set of a layer's features: what they share.
type set struct {
	layer  *layerInfo
	ref    string // of the layer, as written
	wanted bool   // the layer is one that is kept
	net    string
	usage  string
	part   string
	clear  bool
}

func (r *reader) layerFeature(e *element) error {
	ref := e.attr("layerRef")
	l := r.layers[ref]
	if l == nil {
		r.Warn("features for layer %q, which is not declared before them; ignored", shorten(ref))
		return nil
	}
	r.step.fed[ref] = true
	wanted := l.copper() || l.mask() || l.paste()
	return r.each(func(e *element) error {
		if e.name != "Set" {
			r.flexible(e)
			return nil
		}
		s := &set{layer: l, ref: ref, wanted: wanted, net: netName(e.attr("net")), usage: e.attr("padUsage"),
			part: e.attr("componentRef")}
		s.clear = strings.EqualFold(e.attr("polarity"), "NEGATIVE")
		if l.negative && l.copper() {
			s.clear = !s.clear
		}
		return r.each(func(e *element) error { return r.inSet(e, s) })
	})
}

func (r *reader) inSet(e *element, s *set) error {
	switch e.name {
	case "Hole":
		return r.hole(e, s)
	case "SlotCavity":
		return r.slot(e, s)
	case "NetShort":
		return r.netShort(e, s)
	}
	if !s.wanted {
		if f := s.layer.function; (f == "DRILL" || f == "ROUT") && (e.name == "Features" || e.name == "Pad") {
			r.WarnOnce("<%s> on %s layer %q is ignored: only Hole and SlotCavity are taken as holes", e.name,
				strings.ToLower(f), shorten(s.ref))
		}
		return nil
	}
	switch e.name {
	case "Pad":
		return r.pad(e, s)
	case "Features":
		return r.features(e, s)
	case "Fiducial", "GlobalFiducial", "LocalFiducial", "GoodPanelMark", "BadBoardMark":
		place, shapes, err := r.placed(nil)
		if err != nil {
			return err
		}
		return r.show(shapes, place, s, e.line)
	case "NonstandardAttribute", "ColorRef", "Color", "LineDescRef", "LineDesc", "SpecRef", "FillDescRef":
	default:
		r.WarnOnce("<%s> among a layer's features is ignored", shorten(e.name))
	}
	return nil
}

// add keeps one painted object.
func (r *reader) add(s *set, o Object) error {
	if r.objects++; r.objects > r.limits.objects {
		return r.Unsupported("too large: more than %d objects", r.limits.objects)
	}
	if s.layer.copper() {
		r.step.images++
	}
	r.step.sheets[s.ref] = append(r.step.sheets[s.ref], o)
	return nil
}

// features paints primitives at every location given, or where they stand.
func (r *reader) features(e *element, s *set) error {
	turn := unmoved
	var at []geom.Point
	var shapes []*shape
	err := r.each(func(e *element) error {
		switch e.name {
		case "Xform":
			var err error
			turn, err = r.xform(e)
			return err
		case "Location":
			p, err := r.point(e, "x", "y")
			at = append(at, p)
			if err == nil {
				err = r.full(len(at), "locations")
			}
			return err
		}
		part, err := r.readShape(e)
		if part != nil {
			shapes = append(shapes, part)
		}
		return err
	})
	if err != nil {
		return err
	}
	if len(at) == 0 {
		at = append(at, geom.Point{})
	}
	for _, p := range at {
		if err := r.show(shapes, turn.at(p), s, e.line); err != nil {
			return err
		}
	}
	return nil
}

// show paints shapes as graphics, an object for each primitive.
func (r *reader) show(shapes []*shape, at placing, s *set, line int) error {
	for _, one := range shapes {
		thin := r.thin
		err := r.paint(one, at, 0, func(l leaf) error {
			return r.add(s, Object{Dark: s.clear == l.clear, Rings: l.rings, Net: s.net,
				Ref: s.part, Usage: s.usage, At: l.rings[0][0], Line: line})
		})
		if err != nil {
			return err
		}
		if r.thin > thin && s.layer.copper() {
			r.WarnOnce("a line without width on copper layer %q is ignored", shorten(s.ref))
		}
	}
	return nil
}

// pad paints one pad: with the primitives it names, else with those of its
// pad stack on this layer. A land that several pins share is painted for each.
func (r *reader) pad(e *element, s *set) error {
	o := Object{Dark: !s.clear, Net: s.net, Ref: s.part, Usage: s.usage, IsPad: true, Line: e.line}
	if u := e.attr("padUsage"); u != "" {
		o.Usage = u
	}
	name := e.attr("padstackDefRef")
	var more [][2]string // pins that share the land
	place, shapes, err := r.placed(func(e *element) error {
		if e.name == "PinRef" {
			if ref, pin := pinName(e, s.part); o.Pin == "" {
				o.Ref, o.Pin = ref, pin
			} else if pin != "" && len(more) < maxShared {
				more = append(more, [2]string{ref, pin})
			}
		}
		return nil
	})
	if err != nil {
		return err
	}
	var ok bool
	if o.At, ok = place.point(geom.Point{}); !ok {
		return r.Unsupported("a pad lies more than a metre from the origin")
	}
	def := r.step.padstacks[name]
	if def != nil && s.layer.copper() {
		if err := r.padHoles(def, place, o); err != nil {
			return err
		}
	}
	if o.Rings, err = r.together(shapes, place); err != nil {
		return err
	}
	if len(shapes) == 0 {
		if o.Rings, err = r.stackPad(def, name, place, s); err != nil {
			return err
		}
	}
	if len(o.Rings) == 0 {
		if s.layer.copper() && len(shapes) > 0 {
			r.WarnOnce("a pad on copper layer %q has no area", shorten(s.ref))
		}
		return nil
	}
	if err := r.add(s, o); err != nil {
		return err
	}
	for _, p := range more {
		o.Ref, o.Pin = p[0], p[1]
		if err := r.add(s, o); err != nil {
			return err
		}
	}
	return nil
}

// stackPad gives the pad of a pad stack on the set's layer.
func (r *reader) stackPad(def *padstack, name string, place placing, s *set) ([]geom.Ring, error) {
	if def == nil {
		r.WarnOnce("a pad names no primitive and pad stack %q is not defined; ignored", shorten(name))
		return nil, nil
	}
	var out []geom.Ring
	for _, d := range def.pads[s.ref] {
		if d.use != "" && d.use != "REGULAR" {
			continue // antipads and thermals tell how to make planes, which are drawn
		}
		rings, err := r.together(d.shapes, place.inside(d.place))
		if err != nil {
			return nil, err
		}
		out = append(out, rings...)
	}
	return out, nil
}

// netShort notes nets that are meant to touch.
func (r *reader) netShort(e *element, s *set) error {
	short := Short{Line: e.line}
	note := func(e *element) {
		for _, a := range e.attrs {
			switch n := a.Name.Local; {
			case n == "net", n == "netRef", n == "netName", n == "name" && strings.Contains(e.name, "Net") &&
				e.name != "NetShort":
				if v := netName(strings.TrimSpace(a.Value)); v != "" && len(short.Nets) < 100 {
					short.Nets = append(short.Nets, v)
				}
			}
		}
	}
	note(e)
	err := r.each(func(e *element) error {
		note(e)
		return nil
	})
	if s.net != "" {
		short.Nets = append(short.Nets, s.net)
	}
	r.step.shorts = append(r.step.shorts, short)
	if err == nil {
		err = r.full(len(r.step.shorts), "net shorts")
	}
	return err
}
