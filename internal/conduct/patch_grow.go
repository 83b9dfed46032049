package conduct

import (
	"container/heap"
	"math"
	"slices"

	"ohmward/internal/mesh"
)

// A patch takes in the triangles under the contact and patchDepth more around
// them, and then those that err most for a current from the contact to where
// the patch could end at most, until what all the others err is patchLeft
// squares. It could end after patchMost further triangles, the coarsest to the
// distance from the contact first, down to edges of patchShare of it. Counting
// triangles instead of steps lets it get through a neck of slivers; and wide
// copper, where the current thins out, keeps it small.
//
// What is left is 0.007 square or less on the shapes of TestHardContacts and
// TestFreshContacts, the mesh's own error in the copper that the patch does not
// reach included.
const (
	patchDepth = 3
	patchMost  = 400
	patchShare = 0.1
	patchLeft  = 0.002
)

// removeAround marks the triangles under some contacts and around them.
func (m *Model) removeAround(sheet int, taken map[int]bool, discs ...Disc) {
	g, front := m.under(sheet, discs, patchDepth)
	if g == nil {
		return
	}
	least := len(g.taken)
	g.reach(front, func(t int) float64 { return coarseness(g.ms, t, discs) }, patchShare, patchMost)
	if err := m.errsIn(sheet, discs, g.taken); err != nil {
		g.shrink(least, err)
	}
	g.close(taken)
}

// under takes the triangles under contacts and so many rows more around them;
// it gives the outermost too. Without any there is no growth.
func (m *Model) under(sheet int, discs []Disc, rows int) (g *growth, front []int) {
	g = &growth{ms: m.meshes[sheet], gone: m.goneOf(sheet), seen: map[int]bool{}}
	for _, d := range discs {
		for _, t := range g.ms.Near(float64(d.At.X)*1e-9, float64(d.At.Y)*1e-9, 1.02*float64(d.Diameter)/2*1e-9) {
			if !g.gone[t] && !g.seen[t] {
				g.seen[t] = true
				g.taken = append(g.taken, t)
			}
		}
	}
	if len(g.taken) == 0 {
		return nil, nil
	}
	front = g.taken
	for range rows {
		from := len(g.taken)
		for _, t := range front {
			g.around(t, func(n int) { g.taken = append(g.taken, n) })
		}
		front = g.taken[from:]
	}
	return g, front
}

// growth is triangles taken one after another.
type growth struct {
	ms    *mesh.Mesh
	gone  map[int]bool
	seen  map[int]bool
	taken []int
}

// around visits the neighbours of a triangle that were not seen yet.
func (g *growth) around(t int, visit func(n int)) {
	for _, n := range g.ms.Neighbour[t] {
		if n := int(n); n >= 0 && !g.seen[n] && !g.gone[n] {
			g.seen[n] = true
			visit(n)
		}
	}
}

// reach takes up to most triangles on from some, those that rank highest first,
// while they rank above least.
func (g *growth) reach(from []int, rank func(t int) float64, least float64, most int) {
	var rest ranking
	queue := func(n int) { heap.Push(&rest, ranked{n, rank(n)}) }
	for _, t := range from {
		g.around(t, queue)
	}
	for count := 0; len(rest) > 0 && rest[0].rank > least && count < most; count++ {
		t := heap.Pop(&rest).(ranked).triangle
		g.taken = append(g.taken, t)
		g.around(t, queue)
	}
}

// shrink keeps the first triangles, and of the others as many as it takes for
// the rest to err no more than patchLeft, those that err most first.
func (g *growth) shrink(keep int, err map[int]float64) {
	var left float64
	all := map[int]bool{}
	for _, t := range g.taken[keep:] {
		left += err[t]
		all[t] = true
	}
	base := g.taken[:keep:keep]
	g.taken, g.seen = base, map[int]bool{}
	for _, t := range base {
		g.seen[t] = true
	}
	var rest ranking
	queue := func(n int) {
		if all[n] {
			heap.Push(&rest, ranked{n, err[n]})
		}
	}
	for _, t := range base {
		g.around(t, queue)
	}
	for len(rest) > 0 && left > patchLeft {
		t := heap.Pop(&rest).(ranked).triangle
		g.taken = append(g.taken, t)
		left -= err[t]
		g.around(t, queue)
	}
}

// close takes triangles into notches, two of whose neighbours are taken, so that
// the patch has fewer ports, and all triangles round the inner corners of the
// copper that it has some of: a patch that ends in one cannot be fine there.
func (g *growth) close(has map[int]bool) {
	for _, t := range g.taken {
		has[t] = true
	}
	take := func(t int) {
		if !has[t] {
			has[t] = true
			g.taken = append(g.taken, t)
		}
	}
	for i := 0; i < len(g.taken); i++ {
		t := g.taken[i]
		for k, v := range g.ms.Triangle[t] {
			if n := int(g.ms.Neighbour[t][k]); n >= 0 && !has[n] && !g.gone[n] && g.beside(n, has) > 1 {
				take(n)
			}
			if !g.ms.Outline[v] {
				continue
			}
			if fan, angle := g.fan(t, k); angle > math.Pi+math.Asin(innerCorner) {
				for _, n := range fan {
					take(n)
				}
			}
		}
	}
}

// beside counts a triangle's neighbours that are taken.
func (g *growth) beside(t int, has map[int]bool) (count int) {
	for _, n := range g.ms.Neighbour[t] {
		if n >= 0 && has[int(n)] {
			count++
		}
	}
	return count
}

// fan lists the triangles round a corner of one, across the edges that meet
// there, and the angle that they span.
func (g *growth) fan(t, k int) (fan []int, angle float64) {
	v := g.ms.Triangle[t][k]
	for _, side := range []int{1, 2} {
		for at, corner := t, k; ; {
			if side == 1 || at != t {
				fan = append(fan, at)
				angle += g.angle(at, corner)
			}
			n := int(g.ms.Neighbour[at][(corner+side)%3])
			if n < 0 || g.gone[n] || n == t {
				break
			}
			at, corner = n, slices.Index(g.ms.Triangle[n][:], v)
		}
	}
	return fan, angle
}

// angle is a triangle's at a corner.
func (g *growth) angle(t, k int) float64 {
	tri := g.ms.Triangle[t]
	o, p, q := tri[k], tri[(k+1)%3], tri[(k+2)%3]
	ax, ay := g.ms.X[p]-g.ms.X[o], g.ms.Y[p]-g.ms.Y[o]
	bx, by := g.ms.X[q]-g.ms.X[o], g.ms.Y[q]-g.ms.Y[o]
	return math.Atan2(ax*by-ay*bx, ax*bx+ay*by)
}

// coarseness is a triangle's longest edge over the distance of its corners, in
// the mean, from the nearest contact.
func coarseness(ms *mesh.Mesh, t int, discs []Disc) float64 {
	var edge float64
	for k, v := range ms.Triangle[t] {
		w := ms.Triangle[t][(k+1)%3]
		edge = math.Max(edge, math.Hypot(ms.X[v]-ms.X[w], ms.Y[v]-ms.Y[w]))
	}
	nearest := math.Inf(1)
	for _, d := range discs {
		var away float64
		for _, v := range ms.Triangle[t] {
			away += d.distanceTo(ms, v) / 3
		}
		nearest = min(nearest, away)
	}
	return edge / nearest
}

// distanceTo is a vertex's distance from the contact's middle, in metres.
func (d Disc) distanceTo(ms *mesh.Mesh, v int32) float64 {
	return math.Hypot(ms.X[v]-float64(d.At.X)*1e-9, ms.Y[v]-float64(d.At.Y)*1e-9)
}

// ranking is a heap of triangles, the highest rank on top.
type ranking []ranked

type ranked struct {
	triangle int
	rank     float64
}

func (q ranking) Len() int { return len(q) }

func (q ranking) Less(i, j int) bool {
	if q[i].rank != q[j].rank {
		return q[i].rank > q[j].rank
	}
	return q[i].triangle < q[j].triangle
}

func (q ranking) Swap(i, j int) { q[i], q[j] = q[j], q[i] }

func (q *ranking) Push(x any) { *q = append(*q, x.(ranked)) }

func (q *ranking) Pop() any {
	last := len(*q) - 1
	r := (*q)[last]
	*q = (*q)[:last]
	return r
}
