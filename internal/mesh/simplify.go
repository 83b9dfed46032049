package mesh

import (
	"math"

	"ohmward/geom"
)

// simplify lowers the number of outline points. It replaces two neighbouring
// points B, C of a chain A, B, C, D by one point E such that the ring's area is
// kept: what the rounding of E leaves over is made up for by the next point,
// and never more than areaKept. It does so as long as
//   - no original point is further than tol from the new chain and E no
//     further than tol from the original one,
//   - nothing else of the region's outline lies in the way, so that no gap or
//     slit, however narrow, is closed or crossed,
//   - neither B nor C is a point where a curve leaves the outline or where
//     parts of the outline touch.
//
// Curves that run along the outline follow it.
func simplify(region geom.Region, curves [][]geom.Point, tol int64) (geom.Region, [][]geom.Point) {
	o := newOutline(region)
	o.lock(curves)
	o.tol = float64(tol)
	o.index()
	for n := range int32(len(o.at)) {
		for k, ok := o.propose(n); ok && o.free(k); k, ok = o.propose(n) {
			o.apply(k)
		}
	}
	return o.region(region), o.follow(curves)
}

// outline holds all rings as linked chains.
type outline struct {
	tol      float64
	original []geom.Point // of every node before any change
	at       []geom.Point
	next     []int32 // none: gone
	prev     []int32
	lo, hi   []int32   // originals that a node stands for, counted along its ring
	ring     []int32   // ring of each node
	base     []int32   // first node of each ring, and one past the last
	left     []int32   // nodes left in each ring
	owed     []float64 // twice the area that each ring has lost, square nanometres
	mayOwe   []float64 // and may lose
	locked   []bool
	into     []int32 // node that a gone node was merged into
	edges    edgeGrid
}

// collapse proposes to replace node b and its successor by one point.
type collapse struct {
	cost       float64 // nanometres moved
	a, b, c, d int32
	to         geom.Point
	owed       float64 // of the ring then
}

// areaKept is the share of a ring's area, or of its polygon's where that is
// less, that rounding may cost it.
const areaKept = 2e-7

// propose gives the collapse of node b and its successor if it moves the
// outline little enough.
func (o *outline) propose(b int32) (collapse, bool) {
	c := o.next[b]
	if c == none || o.locked[b] || o.locked[c] || o.left[o.ring[b]] < 5 {
		return collapse{}, false
	}
	return o.best(o.prev[b], b, c, o.next[c])
}

// best chooses the new point among those on the line that keeps the area:
// where it meets line A-B or line D-C, and beside the middle of B-C.
func (o *outline) best(a, b, c, d int32) (collapse, bool) {
	k := collapse{a: a, b: b, c: c, d: d, cost: math.Inf(1)}
	pa := o.at[a]
	rel := func(p geom.Point) (x, y float64) { return float64(p.X - pa.X), float64(p.Y - pa.Y) }
	bx, by := rel(o.at[b])
	cx, cy := rel(o.at[c])
	dx, dy := rel(o.at[d])
	// E = (x, y) must satisfy x*dy - y*dx = s, twice the area beside A-D.
	ring := o.ring[b]
	s := bx*cy - by*cx + cx*dy - cy*dx + o.owed[ring]
	try := func(x, y, ux, uy float64) {
		den := ux*dy - uy*dx
		if den == 0 {
			return
		}
		t := (s - (x*dy - y*dx)) / den
		ex, ey := x+t*ux, y+t*uy
		if !(math.Abs(ex) < 1e9 && math.Abs(ey) < 1e9) {
			return
		}
		rx, ry, owed := rounded(ex, ey, dx, dy, s)
		if math.Abs(owed) > o.mayOwe[ring] {
			return
		}
		e := geom.Point{X: pa.X + int64(rx), Y: pa.Y + int64(ry)}
		if cost := o.moved(k, e); cost < k.cost {
			k.cost, k.to, k.owed = cost, e, owed
		}
	}
	try(bx, by, bx, by)
	try(cx, cy, cx-dx, cy-dy)
	try((bx+cx)/2, (by+cy)/2, dy, -dx)
	return k, k.cost <= o.tol
}

// rounded gives the whole point next to (x, y) that leaves least of the area s
// over, and what it leaves.
func rounded(x, y, dx, dy, s float64) (rx, ry, owed float64) {
	owed = math.Inf(1)
	for _, px := range [2]float64{math.Floor(x), math.Ceil(x)} {
		for _, py := range [2]float64{math.Floor(y), math.Ceil(y)} {
			if over := s - (px*dy - py*dx); math.Abs(over) < math.Abs(owed) {
				rx, ry, owed = px, py, over
			}
		}
	}
	return rx, ry, owed
}

// moved tells how far the outline moves from the original if k is done with
// the new point e.
func (o *outline) moved(k collapse, e geom.Point) float64 {
	z, f := o.prev[k.a], o.next[k.d]
	base, end := o.base[o.ring[k.b]], o.base[o.ring[k.b]+1]
	from, to := o.lo[k.a], o.hi[k.d]
	count := to - from
	if count < 0 {
		count += end - base
	}
	if count > 100 {
		return math.Inf(1)
	}
	// Four pieces of the new chain, relative to e, in float64: exact enough
	// for a tolerance.
	rel := func(p geom.Point) point { return point{float64(p.X - e.X), float64(p.Y - e.Y)} }
	chain := [5]point{rel(o.at[z]), rel(o.at[k.a]), {}, rel(o.at[k.d]), rel(o.at[f])}
	worst, nearest, tol2 := 0.0, math.Inf(1), o.tol*o.tol
	for i, j := from, int32(0); j <= count; j++ {
		p := rel(o.original[i])
		d := min(distSegment2(p, chain[1], chain[2]), distSegment2(p, chain[2], chain[3]))
		if d > tol2 {
			d = min(d, distSegment2(p, chain[0], chain[1]), distSegment2(p, chain[3], chain[4]))
		}
		if worst = max(worst, d); worst > tol2 {
			return math.Inf(1)
		}
		if i++; i == end {
			i = base
		}
		if j < count {
			nearest = min(nearest, distSegment2(point{}, p, rel(o.original[i])))
		}
	}
	return math.Sqrt(max(worst, nearest))
}

// distSegment2 is the squared distance from p to the segment a-b.
func distSegment2(p, a, b point) float64 {
	dx, dy := b.x-a.x, b.y-a.y
	px, py := p.x-a.x, p.y-a.y
	if l := dx*dx + dy*dy; l > 0 {
		t := min(max((px*dx+py*dy)/l, 0), 1)
		px, py = px-t*dx, py-t*dy
	}
	return px*px + py*py
}

// free tells whether nothing else lies where the chain moves.
func (o *outline) free(k collapse) bool {
	a, d := o.at[k.a], o.at[k.d]
	if k.to == a || k.to == d || a == d {
		return false
	}
	hull := [5]geom.Point{a, o.at[k.b], o.at[k.c], d, k.to}
	box := geom.EmptyBox()
	for _, p := range hull {
		box = box.Extend(p)
	}
	return o.edges.each(box, func(n int32) bool {
		if o.next[n] == none || n == k.a || n == k.b || n == k.c {
			return true
		}
		m := o.next[n]
		p, q := o.at[n], o.at[m]
		if beyond(box, p, q) {
			return true
		}
		if n != k.d && inHull(hull, p) || m != k.a && inHull(hull, q) {
			return false
		}
		if (n == k.d || m == k.a) && geom.OnSegment(k.to, p, q) {
			return false // folded back on itself
		}
		if m != k.a && geom.SegmentsTouch(a, k.to, p, q) {
			return false
		}
		return n == k.d || !geom.SegmentsTouch(k.to, d, p, q)
	})
}

// beyond tells whether a segment lies on one side of a box.
func beyond(b geom.Box, p, q geom.Point) bool {
	return max(p.X, q.X) < b.Min.X || min(p.X, q.X) > b.Max.X || max(p.Y, q.Y) < b.Min.Y || min(p.Y, q.Y) > b.Max.Y
}

// inHull tells whether q lies in one of the triangles of the five points,
// which together are their convex hull.
func inHull(h [5]geom.Point, q geom.Point) bool {
	for i := range 3 {
		for j := i + 1; j < 4; j++ {
			for k := j + 1; k < 5; k++ {
				s := geom.Orient(h[i], h[j], q)
				t := geom.Orient(h[j], h[k], q)
				u := geom.Orient(h[k], h[i], q)
				if s >= 0 && t >= 0 && u >= 0 || s <= 0 && t <= 0 && u <= 0 {
					if s|t|u != 0 || geom.OnSegment(q, h[i], h[j]) || geom.OnSegment(q, h[j], h[k]) {
						return true
					}
				}
			}
		}
	}
	return false
}

// apply moves node b to the new point and drops node c.
func (o *outline) apply(k collapse) {
	o.at[k.b] = k.to
	o.owed[o.ring[k.b]] = k.owed
	o.hi[k.b] = o.hi[k.c]
	o.next[k.b], o.prev[k.d] = k.d, k.b
	o.next[k.c], o.into[k.c] = none, k.b
	o.left[o.ring[k.b]]--
	o.edges.add(k.a, o.at[k.a], k.to)
	o.edges.add(k.b, k.to, o.at[k.d])
}
