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
	g := &l.rays.grid
	if len(l.edges) == 0 || p.X < g.x0 || p.Y < g.y0 ||
		p.X >= g.x0+int64(g.nx)*g.cell || p.Y >= g.y0+int64(g.ny)*g.cell {
		return -1
	}
	on := int32(-1)
	for _, e := range l.rays.cells.of(g.at(p)) {
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
