package geom

// Locator answers which polygon of a region holds a point. It may be used by
// several goroutines at once.
type Locator struct {
	rays    *rayGrid
	edges   []Segment // the region on their left
	polygon []int32   // of each edge
}

// NewLocator prepares a clean region for many questions.
func NewLocator(r Region) *Locator {
	l := &Locator{}
	n := r.Vertices()
	l.edges, l.polygon = make([]Segment, 0, n), make([]int32, 0, n)
	for i, p := range r {
		p.Rings(func(ring Ring) {
			ring.Edges(func(s Segment) {
				l.edges = append(l.edges, s)
				l.polygon = append(l.polygon, int32(i))
			})
		})
	}
	l.rays = newRayGrid(len(l.edges), func(e int32) (Point, Point) { return l.edges[e].A, l.edges[e].B })
	return l
}

// Locate gives the index of the polygon that holds p, or -1. The boundary
// counts as inside; where two polygons touch, the lower index wins.
func (l *Locator) Locate(p Point) int {
	if _, ok := l.rays.under(Box{p, p}); !ok {
		return -1
	}
	on := int32(-1)
	for _, e := range l.rays.cells.of(l.rays.at(p)) {
		if OnSegment(p, l.edges[e].A, l.edges[e].B) && (on < 0 || l.polygon[e] < on) {
			on = l.polygon[e]
		}
	}
	if on >= 0 {
		return int(on)
	}
	if e := l.rays.leftOf(p); e >= 0 && l.edges[e].A.Y > l.edges[e].B.Y {
		return int(l.polygon[e]) // a falling edge has its polygon on the right
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
			if !l.edges[e].Bounds().Touches(box) {
				continue
			}
			if _, _, d := Closest(s, l.edges[e]); d <= float64(within) {
				visit(int(l.polygon[e]), l.edges[e])
			}
		}
	}
	return looked
}
