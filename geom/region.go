package geom

// Area is the polygon's area without its holes, in nm².
func (p Polygon) Area() float64 {
	a := p.Outer.Area()
	for _, h := range p.Holes {
		a += h.Area()
	}
	return a
}

// Bounds is the smallest box around the polygon.
func (p Polygon) Bounds() Box { return p.Outer.Bounds() }

// Rings calls visit with the outer ring and then with every hole.
func (p Polygon) Rings(visit func(Ring)) {
	visit(p.Outer)
	for _, h := range p.Holes {
		visit(h)
	}
}

// Contains tells whether q lies in the closed polygon.
func (p Polygon) Contains(q Point) bool {
	inside, on := false, false
	p.Rings(func(r Ring) {
		in, edge := r.holds(q)
		inside, on = inside != in, on || edge
	})
	return on || inside
}

// holds tells by the parity of crossings whether q is inside, and whether it
// lies on the ring itself.
func (r Ring) holds(q Point) (inside, on bool) {
	for i, b := range r {
		a := r[len(r)-1]
		if i > 0 {
			a = r[i-1]
		}
		if OnSegment(q, a, b) {
			return false, true
		}
		if (a.Y <= q.Y) != (b.Y <= q.Y) && (Orient(a, b, q) > 0) == (b.Y > a.Y) {
			inside = !inside
		}
	}
	return inside, false
}

// Contains tells whether q lies in the closed ring, by the even-odd rule.
func (r Ring) Contains(q Point) bool {
	in, on := r.holds(q)
	return in || on
}

// Area is the region's area in nm².
func (r Region) Area() float64 {
	sum := 0.0
	for _, p := range r {
		sum += p.Area()
	}
	return sum
}

// Bounds is the smallest box around the region; empty for an empty region.
func (r Region) Bounds() Box {
	b := EmptyBox()
	for _, p := range r {
		b = b.Join(p.Bounds())
	}
	return b
}

// Contains tells whether q lies in the closed region. It looks at every edge;
// for many questions use a Locator.
func (r Region) Contains(q Point) bool {
	for _, p := range r {
		if p.Bounds().Holds(q) && p.Contains(q) {
			return true
		}
	}
	return false
}

// Rings calls visit with every ring, polygon by polygon.
func (r Region) Rings(visit func(Ring)) {
	for _, p := range r {
		p.Rings(visit)
	}
}

// AllRings lists every ring, polygon by polygon.
func (r Region) AllRings() (all []Ring) {
	r.Rings(func(ring Ring) { all = append(all, ring) })
	return all
}

// Edges calls visit with every boundary edge, the region on its left.
func (r Region) Edges(visit func(Segment)) {
	r.Rings(func(ring Ring) { ring.Edges(visit) })
}

// Vertices counts the corners of all rings.
func (r Region) Vertices() int {
	n := 0
	r.Rings(func(ring Ring) { n += len(ring) })
	return n
}
