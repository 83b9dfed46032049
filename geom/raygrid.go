package geom

import "math"

// rayGrid finds the nearest edge to the left of a point.
type rayGrid struct {
	grid
	cells buckets
	back  []int32 // nearest column at or left of a cell that is not empty
	ends  func(e int32) (Point, Point)
}

func newRayGrid(edges int, ends func(e int32) (Point, Point)) *rayGrid {
	r := &rayGrid{ends: ends}
	box, way := EmptyBox(), 0.0
	for e := range int32(edges) {
		a, b := ends(e)
		box = box.Extend(a).Extend(b)
		way += float64(abs(a.X-b.X) + abs(a.Y-b.Y))
	}
	if edges == 0 {
		box = Box{}
	}
	w, h := box.Max.X+1-box.Min.X, box.Max.Y+1-box.Min.Y
	n := math.Max(1, float64(edges))
	size := math.Max(math.Sqrt(float64(w)*float64(h)/n), way/(4*n))
	size = math.Max(size, float64(max(w, h))/(4*n+64))
	r.grid = newGrid(box.Min.X, box.Min.Y, w, h, max(leafSide, int64(size)))
	r.cells = fillBuckets(r.nx*r.ny, func(put func(int, int32)) {
		for e := range int32(edges) {
			a, b := ends(e)
			r.walk(a, b, func(c int) { put(c, e) })
		}
	})
	r.back = make([]int32, r.nx*r.ny)
	for c := range r.back {
		switch {
		case len(r.cells.of(c)) > 0:
			r.back[c] = int32(c % r.nx)
		case c%r.nx == 0:
			r.back[c] = -1
		default:
			r.back[c] = r.back[c-1]
		}
	}
	return r
}

// leftOf gives the edge that a ray from p to the left meets first, a hair
// above p's own height, or -1. Edges through p do not count; horizontal edges
// cannot be met.
func (r *rayGrid) leftOf(p Point) int32 {
	if p.Y < r.y0 || p.Y >= r.y0+int64(r.ny)*r.cell || p.X < r.x0 {
		return -1
	}
	row := r.row(float64(p.Y))
	best := int32(-1)
	bestX := math.Inf(-1)
	for col := r.col(float64(p.X)); col >= 0; col-- {
		if bestX > float64(r.x0+int64(col+1)*r.cell)+reach {
			break
		}
		if col = int(r.back[row*r.nx+col]); col < 0 {
			break
		}
		for _, e := range r.cells.of(row*r.nx + col) {
			a, b := r.ends(e)
			if a.Y > b.Y {
				a, b = b, a
			}
			if a.Y > p.Y || b.Y <= p.Y || e == best || cross(a, b, p) >= 0 {
				continue
			}
			if best < 0 || r.rightOf(a, b, best) {
				best = e
				bestX = float64(a.X) + float64(b.X-a.X)*(float64(p.Y-a.Y)/float64(b.Y-a.Y))
			}
		}
	}
	return best
}

// rightOf tells whether the rising edge ab lies right of edge e in the heights
// they share; the two do not cross.
func (r *rayGrid) rightOf(a, b Point, e int32) bool {
	c, d := r.ends(e)
	if c.Y > d.Y {
		c, d = d, c
	}
	if a.Y >= c.Y && a.Y < d.Y {
		if s := cross(c, d, a); s != 0 {
			return s < 0
		}
		return cross(c, d, b) < 0
	}
	if s := cross(a, b, c); s != 0 {
		return s > 0
	}
	return cross(a, b, d) > 0
}
