package ipc2581

import (
	"cmp"
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

func (r *reader) layerFeature(e *element) {
	ref := e.attr("layerRef")
	l := r.layers[ref]
	if l == nil {
		r.Lose("features for layer %q, which is not declared before them; ignored", shorten(ref))
		return
	}
	r.step.fed[ref] = true
	wanted := l.copper() || l.mask() || l.paste()
	r.each(func(e *element) {
		if e.name != "Set" {
			r.flexible(e)
			return
		}
		s := &set{layer: l, ref: ref, wanted: wanted, net: netName(e.attr("net")), usage: e.attr("padUsage"),
			part: e.attr("componentRef")}
		s.clear = strings.EqualFold(e.attr("polarity"), "NEGATIVE")
		if l.negative && l.copper() {
			s.clear = !s.clear
		}
		r.each(func(e *element) { r.inSet(e, s) })
	})
}

func (r *reader) inSet(e *element, s *set) {
	switch e.name {
	case "Hole":
		r.hole(e, s)
	case "SlotCavity":
		r.slot(e, s)
	case "NetShort":
		r.netShort(e, s)
	default:
		r.painted(e, s)
	}
}

// painted reads what a set paints.
func (r *reader) painted(e *element, s *set) {
	if !s.wanted {
		if f := s.layer.function; (f == "DRILL" || f == "ROUT") && (e.name == "Features" || e.name == "Pad") {
			r.LoseOnce("<%s> on %s layer %q is ignored: only Hole and SlotCavity are taken as holes", e.name,
				strings.ToLower(f), shorten(s.ref))
		}
		return
	}
	switch e.name {
	case "Pad":
		r.pad(e, s)
	case "Features":
		r.features(e, s)
	case "Fiducial", "GlobalFiducial", "LocalFiducial", "GoodPanelMark", "BadBoardMark":
		in := r.placed(nil)
		r.show(in.shapes, in.place(), s, e.line)
	case "NonstandardAttribute", "ColorRef", "Color", "LineDescRef", "LineDesc", "SpecRef", "FillDescRef":
	default:
		r.LoseOnce("<%s> among a layer's features is ignored", shorten(e.name))
	}
}

// add keeps one painted object.
func (r *reader) add(s *set, o Object) {
	if r.objects++; r.objects > r.limits.objects {
		panic(r.Unsupported("too large: more than %d objects", r.limits.objects))
	}
	if s.layer.copper() {
		r.step.images++
	}
	r.step.sheets[s.ref] = append(r.step.sheets[s.ref], o)
}

// features paints primitives at every location given, or where they stand.
func (r *reader) features(e *element, s *set) {
	in := r.placed(nil)
	if len(in.at) == 0 {
		in.at = append(in.at, geom.Point{})
	}
	for _, p := range in.at {
		r.show(in.shapes, in.turn.at(p), s, e.line)
	}
}

// show paints shapes as graphics, an object for each primitive.
func (r *reader) show(shapes []*shape, at placing, s *set, line int) {
	for _, one := range shapes {
		thin := r.thin
		r.paint(one, at, 0, func(c geom.Coat) {
			r.add(s, Object{Dark: s.clear != c.Dark, Rings: c.Rings, Net: s.net,
				Ref: s.part, Usage: s.usage, At: c.Rings[0][0], Line: line})
		})
		if r.thin > thin && s.layer.copper() {
			r.WarnOnce("a line without width on copper layer %q is ignored", shorten(s.ref))
		}
	}
}

// pad paints one pad: with the primitives it names, else with those of its
// pad stack on this layer. A land that several pins share is painted for each.
func (r *reader) pad(e *element, s *set) {
	o := Object{Dark: !s.clear, Net: s.net, Ref: s.part, Usage: cmp.Or(e.attr("padUsage"), s.usage),
		IsPad: true, Line: e.line}
	name := e.attr("padstackDefRef")
	var more [][2]string // pins that share the land
	in := r.placed(func(e *element) {
		if e.name == "PinRef" {
			if ref, pin := pinName(e, s.part); o.Pin == "" {
				o.Ref, o.Pin = ref, pin
			} else if pin != "" && len(more) < maxShared {
				more = append(more, [2]string{ref, pin})
			}
		}
	})
	place, ok := in.place(), false
	if o.At, ok = place.point(geom.Point{}); !ok {
		panic(r.Unsupported("a pad lies more than a metre from the origin"))
	}
	def := r.step.padstacks[name]
	if def != nil && s.layer.copper() {
		r.padHoles(def, place, o)
	}
	o.Rings = r.together(in.shapes, place)
	if len(in.shapes) == 0 {
		o.Rings = r.stackPad(def, name, place, s)
	}
	if len(o.Rings) == 0 {
		if s.layer.copper() && len(in.shapes) > 0 {
			r.WarnOnce("a pad on copper layer %q has no area", shorten(s.ref))
		}
		return
	}
	r.add(s, o)
	for _, p := range more {
		o.Ref, o.Pin = p[0], p[1]
		r.add(s, o)
	}
}

// stackPad gives the pad of a pad stack on the set's layer.
func (r *reader) stackPad(def *padstack, name string, place placing, s *set) []geom.Ring {
	if def == nil {
		r.LoseOnce("a pad names no primitive and pad stack %q is not defined; ignored", shorten(name))
		return nil
	}
	var out []geom.Ring
	for _, d := range def.pads[s.ref] {
		if d.use != "" && d.use != "REGULAR" {
			continue // antipads and thermals tell how to make planes, which are drawn
		}
		out = append(out, r.together(d.shapes, place.inside(d.place()))...)
	}
	return out
}

// netShort notes nets that are meant to touch.
func (r *reader) netShort(e *element, s *set) {
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
	r.each(note)
	if s.net != "" {
		short.Nets = append(short.Nets, s.net)
	}
	r.step.shorts = append(r.step.shorts, short)
	r.full(len(r.step.shorts), "net shorts")
}
