package geom

import (
	"cmp"
	"math"
	"slices"
)

const (
	leafSegments = 16 // so few segments are compared pair by pair
	leafSide     = 64 // nm; smaller cells would gain nothing beside reach
)

// hotBox is a half-open box of integer points with the edges that come near
// it and the vertices in it.
type hotBox struct {
	x0, y0, x1, y1 int64
	edges, points  []int32
}

// localSeg is an edge with its ends at hand.
type localSeg struct {
	a, b     Point
	minY     int64
	maxY     int64
	edge     int32
	from, to int32
}

// findHot fills fresh and found.
func (s *snapper) findHot() {
	n := s.net
	if n.edges() < 2 {
		return
	}
	box := EmptyBox()
	for _, p := range n.pts {
		box = box.Extend(p)
	}
	edges := make([]int32, n.edges())
	for i := range edges {
		edges[i] = int32(i)
	}
	points := make([]int32, len(n.pts))
	for i := range points {
		points[i] = int32(i)
	}
	s.split(hotBox{box.Min.X, box.Min.Y, box.Max.X + 1, box.Max.Y + 1, edges, points})
}

// split works on a box cell by cell, with cells as small as its edges are
// dense, and again inside crowded cells. Every hot pixel belongs to one leaf,
// and every edge that comes near the pixel is listed there.
func (s *snapper) split(h hotBox) {
	n := len(h.edges)
	if n < 2 || s.budget.spent() {
		return
	}
	w, ht := h.x1-h.x0, h.y1-h.y0
	if n <= leafSegments || max(w, ht) <= leafSide {
		s.leaf(h)
		return
	}
	g := newGrid(h.x0, h.y0, w, ht, s.cellSize(h))
	edges := fillBuckets(g.nx*g.ny, func(put func(int, int32)) {
		for _, e := range h.edges {
			g.walk(s.net.pts[s.net.u[e]], s.net.pts[s.net.v[e]], func(c int) { put(c, e) })
		}
	})
	if !s.budget.spend(8*int64(len(edges.items)), Point{h.x0, h.y0}) {
		return
	}
	// A bundle of long edges side by side fills every cell on its way: cells
	// do not part it, so compare its pairs here.
	load := 0.0
	for c := range g.nx * g.ny {
		m := float64(len(edges.of(c)))
		load += m * m
	}
	if load > 4.5*float64(n)*float64(n) {
		s.leaf(h)
		return
	}
	points := fillBuckets(g.nx*g.ny, func(put func(int, int32)) {
		for _, p := range h.points {
			put(g.at(s.net.pts[p]), p)
		}
	})
	for c := range g.nx * g.ny {
		x, y := h.x0+int64(c%g.nx)*g.cell, h.y0+int64(c/g.nx)*g.cell
		s.split(hotBox{
			x, y, min(x+g.cell, h.x1), min(y+g.cell, h.y1),
			edges.of(c), points.of(c),
		})
	}
}

// cellSize aims at two cells for three edges, at most six cells per edge on
// average and at least 64 cells.
func (s *snapper) cellSize(h hotBox) int64 {
	n := float64(len(h.edges))
	w, ht := h.x1-h.x0, h.y1-h.y0
	way := 0.0
	for _, e := range h.edges {
		a, b := s.net.pts[s.net.u[e]], s.net.pts[s.net.v[e]]
		way += float64(min(abs(a.X-b.X), w) + min(abs(a.Y-b.Y), ht))
	}
	size := math.Sqrt(float64(w) * float64(ht) / math.Max(64, n/1.5))
	size = math.Max(size, way/(6*n))
	return max(leafSide/2, int64(math.Ceil(size)))
}

// leaf finds the hot pixels of a box and the edges near them, pair by pair.
func (s *snapper) leaf(h hotBox) {
	n := s.net
	s.local = s.local[:0]
	for _, e := range h.edges {
		a, b := n.pts[n.u[e]], n.pts[n.v[e]]
		s.local = append(s.local, localSeg{a, b, min(a.Y, b.Y), max(a.Y, b.Y), e, n.u[e], n.v[e]})
	}
	s.tmp = s.tmp[:0]
	k, here := int64(len(s.local)), Point{h.x0, h.y0}
	if pixels := (h.x1 - h.x0) * (h.y1 - h.y0); max(h.x1-h.x0, h.y1-h.y0) <= leafSide && k > 8*pixels {
		if !s.budget.spend(k*pixels, here) {
			return
		}
		s.densePixels(h)
	} else {
		if !s.budget.spend(k*k/2, here) {
			return
		}
		s.crossPairs(h)
	}
	first := int32(len(n.pts) + len(s.fresh))
	s.keepFresh(h)
	for _, p := range h.points {
		if !s.budget.spend(k, n.pts[p]) {
			return
		}
		s.gather(p, n.pts[p])
	}
	for i := int(first) - len(n.pts); i < len(s.fresh); i++ {
		if !s.budget.spend(k, s.fresh[i]) {
			return
		}
		s.gather(int32(i+len(n.pts)), s.fresh[i])
	}
}

// crossPairs collects the rounded crossings that lie in the box.
func (s *snapper) crossPairs(h hotBox) {
	for i := range s.local {
		p, before := &s.local[i], len(s.tmp)
		for j := i + 1; j < len(s.local); j++ {
			q := &s.local[j]
			if p.b.X < q.a.X || q.b.X < p.a.X || p.maxY < q.minY || q.maxY < p.minY {
				continue
			}
			if p.from == q.from || p.from == q.to || p.to == q.from || p.to == q.to {
				continue
			}
			x, ok := crossing(p.a, p.b, q.a, q.b)
			if ok && x.X >= h.x0 && x.X < h.x1 && x.Y >= h.y0 && x.Y < h.y1 {
				s.tmp = append(s.tmp, x)
			}
		}
		if !s.budget.spend(noteWork*int64(len(s.tmp)-before), p.a) {
			return
		}
	}
}

// densePixels collects the same crossings pixel by pixel: for each pixel it
// looks among the edges that meet it for one pair that crosses there. With far
// more edges than pixels that is less work than all pairs.
func (s *snapper) densePixels(h hotBox) {
	var here []localSeg
	for x := h.x0; x < h.x1; x++ {
		for y := h.y0; y < h.y1; y++ {
			here = here[:0]
			for _, l := range s.local {
				if captures(l.a, l.b, Point{x, y}) {
					here = append(here, l)
				}
			}
			if crossIn(here, Point{x, y}) {
				s.tmp = append(s.tmp, Point{x, y})
			}
		}
	}
}

// crossIn tells whether two of the edges cross in the pixel of p.
func crossIn(edges []localSeg, p Point) bool {
	for i, e := range edges {
		for _, f := range edges[:i] {
			if x, ok := crossing(e.a, e.b, f.a, f.b); ok && x == p {
				return true
			}
		}
	}
	return false
}

func comparePoints(p, q Point) int {
	return cmp.Or(cmp.Compare(p.X, q.X), cmp.Compare(p.Y, q.Y))
}

// keepFresh adds to fresh the collected points that are not vertices.
func (s *snapper) keepFresh(h hotBox) {
	if len(s.tmp) == 0 {
		return
	}
	slices.SortFunc(s.tmp, comparePoints)
	known := h.points // ascending, as vertices are numbered in order
	for i, p := range s.tmp {
		if i > 0 && p == s.tmp[i-1] {
			continue
		}
		for len(known) > 0 && comparePoints(s.net.pts[known[0]], p) < 0 {
			known = known[1:]
		}
		if len(known) == 0 || s.net.pts[known[0]] != p {
			s.fresh = append(s.fresh, p)
		}
	}
}

// gather notes the edges of the leaf that pass close by a hot point.
func (s *snapper) gather(id int32, p Point) {
	before := len(s.found)
	for i := range s.local {
		l := &s.local[i]
		if p.X < l.a.X || p.X > l.b.X || p.Y < l.minY || p.Y > l.maxY || l.from == id || l.to == id {
			continue
		}
		dx, dy := l.b.X-l.a.X, l.b.Y-l.a.Y
		if closeBy(dx, dy, dx*(p.Y-l.a.Y)-dy*(p.X-l.a.X)) {
			s.found = append(s.found, near{l.edge, id})
		}
	}
	s.budget.spend(noteWork*int64(len(s.found)-before), p)
}
