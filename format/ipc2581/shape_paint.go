package ipc2581

import "ohmward/geom"

// leaf is what one primitive paints.
type leaf struct {
	rings []geom.Ring
	clear bool
}

// paint works out what a shape covers when placed, primitive by primitive.
func (r *reader) paint(s *shape, at placing, depth int, emit func(leaf) error) error {
	if r.visits++; r.visits > r.limits.visits {
		return r.Unsupported("too large: more than %d primitives", r.limits.visits)
	}
	if depth > maxRefs {
		return r.Malformed("primitives refer to each other more than %d deep", maxRefs)
	}
	at = at.inside(s.place)
	if s.ref != "" {
		table := r.standards
		if s.user {
			table = r.users
		}
		in, ok := table[s.ref]
		if !ok {
			r.WarnOnce("primitive %q is in no dictionary; ignored", shorten(s.ref))
			return nil
		}
		return r.paint(in, at, depth+1, emit)
	}
	for _, part := range s.parts {
		if err := r.paint(part, at, depth, emit); err != nil {
			return err
		}
	}
	return r.ink(s, at, emit)
}

// ink paints the shape itself: its area, its outline, or both.
func (r *reader) ink(s *shape, at placing, emit func(leaf) error) error {
	width, ends, fill := r.styleOf(s)
	hollow := s.line || fill == "HOLLOW"
	if !hollow && len(s.area) > 0 {
		if fill == "HATCH" || fill == "MESH" {
			r.WarnOnce("a %s fill is taken as solid", fill)
		}
		if err := r.put(s.area, at, fill == "VOID", emit); err != nil {
			return err
		}
	}
	if !hollow && s.named || fill == "VOID" {
		return nil
	}
	if width <= 0 {
		if hollow && len(s.edges) > 0 {
			r.thin++
		}
		return nil
	}
	for _, p := range s.edges {
		if cost := p.cost(width); r.corners+cost > r.limits.corners {
			return r.Unsupported("too large: more than %d corners", r.limits.corners)
		}
		if err := r.put(p.stroke(width, ends), at, false, emit); err != nil {
			return err
		}
	}
	return nil
}

// styleOf looks up the line and fill of a shape.
func (r *reader) styleOf(s *shape) (width int64, ends, fill string) {
	width, ends, fill = s.style.width, s.style.ends, s.style.fill
	if !s.style.lined && s.style.lineRef != "" {
		d, ok := r.lines[s.style.lineRef]
		if !ok {
			r.WarnOnce("line description %q is in no dictionary", shorten(s.style.lineRef))
		}
		width, ends = d.width, d.ends
	}
	if fill == "" && s.style.fillRef != "" {
		var ok bool
		if fill, ok = r.fills[s.style.fillRef]; !ok {
			r.WarnOnce("fill description %q is in no dictionary", shorten(s.style.fillRef))
		}
	}
	return width, ends, fill
}

func (r *reader) put(in []geom.Ring, at placing, clear bool, emit func(leaf) error) error {
	var out []geom.Ring
	for _, ring := range in {
		placed, ok := at.ring(ring)
		if !ok || !within(placed) {
			return r.Unsupported("a shape reaches more than a metre from the origin")
		}
		if r.corners += len(ring); r.corners > r.limits.corners {
			return r.Unsupported("too large: more than %d corners", r.limits.corners)
		}
		if len(placed) >= 3 {
			out = append(out, placed)
		}
	}
	if len(out) == 0 {
		return nil
	}
	return emit(leaf{rings: out, clear: clear})
}

func within(ring geom.Ring) bool {
	for _, p := range ring {
		if max(p.X, -p.X, p.Y, -p.Y) > geom.MaxCoord {
			return false
		}
	}
	return true
}

// together gives what a list of shapes covers together, as one list of rings
// for non-zero filling; clear parts are taken out of what came before.
func (r *reader) together(shapes []*shape, at placing) ([]geom.Ring, error) {
	var leaves []leaf
	for _, s := range shapes {
		err := r.paint(s, at, 0, func(l leaf) error {
			leaves = append(leaves, l)
			return nil
		})
		if err != nil {
			return nil, err
		}
	}
	switch {
	case len(leaves) == 0:
		return nil, nil
	case len(leaves) == 1 && !leaves[0].clear:
		return leaves[0].rings, nil
	}
	coats := make([]geom.Coat, len(leaves))
	for i, l := range leaves {
		coats[i] = geom.Coat{Dark: !l.clear, Rings: l.rings}
	}
	region, err := geom.PaintBounded(coats)
	if err != nil {
		return nil, err
	}
	return regionRings(region), nil
}
