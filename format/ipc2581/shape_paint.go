package ipc2581

import "ohmward/geom"

// paint works out what a shape covers when placed, primitive by primitive.
func (r *reader) paint(s *shape, at placing, depth int, emit func(geom.Coat)) {
	if r.visits++; r.visits > r.limits.visits {
		panic(r.Unsupported("too large: more than %d primitives", r.limits.visits))
	}
	if depth > maxRefs {
		panic(r.Malformed("primitives refer to each other more than %d deep", maxRefs))
	}
	at = at.inside(s.place)
	if s.ref != "" {
		table := r.standards
		if s.user {
			table = r.users
		}
		in, ok := table[s.ref]
		if !ok {
			r.LoseOnce("primitive %q is in no dictionary; ignored", shorten(s.ref))
			return
		}
		r.paint(in, at, depth+1, emit)
		return
	}
	for _, part := range s.parts {
		r.paint(part, at, depth, emit)
	}
	r.ink(s, at, emit)
}

// ink paints the shape itself: its area, its outline, or both.
func (r *reader) ink(s *shape, at placing, emit func(geom.Coat)) {
	line, fill := r.styleOf(s)
	hollow := s.line || fill == "HOLLOW"
	if !hollow && len(s.area) > 0 {
		if fill == "HATCH" || fill == "MESH" {
			r.WarnOnce("a %s fill is taken as solid", fill)
		}
		r.put(s.area, at, fill == "VOID", emit)
	}
	if !hollow && s.named || fill == "VOID" {
		return
	}
	if line.width <= 0 {
		if hollow && len(s.edges) > 0 {
			r.thin++
		}
		return
	}
	for _, p := range s.edges {
		if cost := p.cost(line.width); r.corners+cost > r.limits.corners {
			panic(r.Unsupported("too large: more than %d corners", r.limits.corners))
		}
		r.put(p.stroke(line.width, line.ends), at, false, emit)
	}
}

// styleOf looks up the line and fill of a shape.
func (r *reader) styleOf(s *shape) (line lineStyle, fill string) {
	line, fill = s.style.line, s.style.fill
	if !s.style.lined && s.style.lineRef != "" {
		var ok bool
		if line, ok = r.lines[s.style.lineRef]; !ok {
			r.WarnOnce("line description %q is in no dictionary", shorten(s.style.lineRef))
		}
	}
	if fill == "" && s.style.fillRef != "" {
		var ok bool
		if fill, ok = r.fills[s.style.fillRef]; !ok {
			r.WarnOnce("fill description %q is in no dictionary", shorten(s.style.fillRef))
		}
	}
	return line, fill
}

func (r *reader) put(in []geom.Ring, at placing, clear bool, emit func(geom.Coat)) {
	var out []geom.Ring
	for _, ring := range in {
		placed, ok := at.ring(ring)
		if !ok || !within(placed) {
			panic(r.Unsupported("a shape reaches more than a metre from the origin"))
		}
		if r.corners += len(ring); r.corners > r.limits.corners {
			panic(r.Unsupported("too large: more than %d corners", r.limits.corners))
		}
		if len(placed) >= 3 {
			out = append(out, placed)
		}
	}
	if len(out) > 0 {
		emit(geom.Coat{Dark: !clear, Rings: out})
	}
}

func within(ring geom.Ring) bool {
	b := ring.Bounds()
	return max(b.Max.X, -b.Min.X, b.Max.Y, -b.Min.Y) <= geom.MaxCoord
}

// together gives what a list of shapes covers together, as one list of rings
// for non-zero filling; clear parts are taken out of what came before.
func (r *reader) together(shapes []*shape, at placing) []geom.Ring {
	var coats []geom.Coat
	for _, s := range shapes {
		r.paint(s, at, 0, func(c geom.Coat) { coats = append(coats, c) })
	}
	switch {
	case len(coats) == 0:
		return nil
	case len(coats) == 1 && coats[0].Dark:
		return coats[0].Rings
	}
	region, err := geom.PaintBounded(coats)
	if err != nil {
		panic(err)
	}
	return region.AllRings()
}
