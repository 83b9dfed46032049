package geom

// Locator answers which polygon of a region holds a point. It may be used by
// several goroutines at once.
type Locator struct {
	rays    *rayGrid
	rings   []Ring
	first   []int32 // edge of each ring; an edge is from its point to the next
	polygon []int32 // of each ring
	ring    []int32 // of each edge
}

// NewLocator prepares a clean region, whose points it goes on to use, for many
// questions.
func NewLocator(r Region) *Locator {
	l := &Locator{ring: make([]int32, 0, r.Vertices())}
	for i, p := range r {
		p.Rings(func(ring Ring) {
			l.first = append(l.first, int32(len(l.ring)))
			l.polygon = append(l.polygon, int32(i))
			for range ring {
				l.ring = append(l.ring, int32(len(l.rings)))
			}
			l.rings = append(l.rings, ring)
		})
	}
	l.rays = newRayGrid(len(l.ring), func(e int32) (Point, Point) {
		s := l.edge(e)
		return s.A, s.B
	})
	return l
}

// edge is an edge, the region on its left.
func (l *Locator) edge(e int32) Segment {
	n := l.ring[e]
	ring, i := l.rings[n], int(e-l.first[n])
	if i == len(ring)-1 {
		return Segment{ring[i], ring[0]}
	}
	return Segment{ring[i], ring[i+1]}
}

// polygonOf is the polygon of an edge.
func (l *Locator) polygonOf(e int32) int32 { return l.polygon[l.ring[e]] }

// Locate gives the index of the polygon that holds p, or -1. The boundary
// counts as inside; where two polygons touch, the lower index wins.
func (l *Locator) Locate(p Point) int {
	if _, ok := l.rays.under(Box{p, p}); !ok {
		return -1
	}
	on := int32(-1)
	for _, e := range l.rays.cells.of(l.rays.at(p)) {
		if s := l.edge(e); OnSegment(p, s.A, s.B) && (on < 0 || l.polygonOf(e) < on) {
			on = l.polygonOf(e)
		}
	}
	if on >= 0 {
		return int(on)
	}
	e := l.rays.leftOf(p)
	if e < 0 {
		return -1
	}
	if s := l.edge(e); s.A.Y > s.B.Y {
		return int(l.polygonOf(e)) // a falling edge has its polygon on the right
	}
	return -1
}

// Near calls visit with the edges within a distance of s in nanometres, the
// region on their left, and their polygons; with some edges more than once. It
// gives the number of edges it looked at, and stops when that is above most.
func (l *Locator) Near(s Segment, within int64, most int,
	visit func(polygon int, edge Segment)) (looked int) {
	box := s.Bounds().Grow(within)
	f, ok := l.rays.under(box)
	if !ok {
		return 0
	}
	cells, nx := &l.rays.cells, l.rays.nx
	for row := f.r0; row <= f.r1 && looked <= most; row++ {
		in := cells.items[cells.start[row*nx+f.c0]:cells.start[row*nx+f.c1+1]]
		looked += len(in) + 1
		for _, e := range in {
			edge := l.edge(e)
			if !edge.Bounds().Touches(box) {
				continue
			}
			if _, _, d := Closest(s, edge); d <= float64(within) {
				visit(int(l.polygonOf(e)), edge)
			}
		}
	}
	return looked
}
