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

// takeOut marks the triangles under a contact and around it.
func (m *Model) takeOut(sheet int, d Disc, taken map[int]bool) {
	ms, gone := m.meshes[sheet], m.goneOf(sheet)
	x, y := float64(d.At.X)*1e-9, float64(d.At.Y)*1e-9
	g := &growth{ms: ms, gone: gone, seen: map[int]bool{}}
	for _, t := range ms.Near(x, y, 1.02*float64(d.Diameter)/2*1e-9) {
		if !gone[t] {
			g.seen[t] = true
			g.taken = append(g.taken, t)
		}
	}
	if len(g.taken) == 0 {
		return
	}
	front := g.taken
	for range patchDepth {
		from := len(g.taken)
		for _, t := range front {
			g.around(t, func(n int) { g.taken = append(g.taken, n) })
		}
		front = g.taken[from:]
	}
	least := len(g.taken)
	g.reach(front, func(t int) float64 { return coarseness(ms, t, x, y) }, patchShare, patchMost)
	if err := m.errsIn(sheet, d, g.taken); err != nil {
		g.shrink(least, err)
	}
	g.closeCorners()
	for _, t := range g.taken {
		taken[t] = true
	}
}

// growth is triangles taken one after another.
type growth struct {
	ms    *mesh.Mesh
	gone  map[int]bool
	seen  map[int]bool
	taken []int
	has   map[int]bool // those taken, for closeCorners
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

// closeCorners takes all triangles round the inner corners of the copper that
// it has some of: a patch that ends in one cannot be fine there.
func (g *growth) closeCorners() {
	g.has = map[int]bool{}
	for _, t := range g.taken {
		g.has[t] = true
	}
	for i := 0; i < len(g.taken); i++ {
		t := g.taken[i]
		for k, v := range g.ms.Triangle[t] {
			if !g.ms.Outline[v] {
				continue
			}
			if fan, angle := g.fan(t, k); angle > math.Pi+math.Asin(innerCorner) {
				for _, n := range fan {
					if !g.has[n] {
						g.has[n] = true
						g.taken = append(g.taken, n)
					}
				}
			}
		}
	}
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
// the mean, from a point (metres).
func coarseness(ms *mesh.Mesh, t int, x, y float64) float64 {
	var away, edge float64
	for k, v := range ms.Triangle[t] {
		w := ms.Triangle[t][(k+1)%3]
		away += math.Hypot(ms.X[v]-x, ms.Y[v]-y) / 3
		edge = math.Max(edge, math.Hypot(ms.X[v]-ms.X[w], ms.Y[v]-ms.Y[w]))
	}
	return edge / away
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
