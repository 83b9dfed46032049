package geom

import (
	"math"
	"slices"
)

// faces is the face structure of a planar network. Half-edge 2e runs u→v,
// 2e+1 runs v→u; a half-edge belongs to the face on its left.
type faces struct {
	net   *network
	half  []halfEdge
	first []int32 // one half-edge of each closed walk around a face
	// Faces have the number of their own walk; the unbounded face, which has
	// none, has the number len(first). A face's guests are the outer walks of
	// the components that lie in it.
	guest, sibling []int32
}

type halfEdge struct {
	next int32 // around the face on the left
	face int32
}

// plane is the unbounded face.
func (f *faces) plane() int32 { return int32(len(f.first)) }

func (f *faces) tail(h int32) int32 {
	if h&1 == 0 {
		return f.net.u[h>>1]
	}
	return f.net.v[h>>1]
}

// newFaces builds the faces of a network whose edges meet in vertices only.
func newFaces(n *network) *faces {
	f := &faces{net: n}
	last := f.link()
	f.walkCycles()
	f.nest(last)
	return f
}

// link sorts the half-edges around every vertex and joins them to face walks.
// It gives for every vertex its last half-edge before the negative x axis,
// counter-clockwise from the negative y axis, or -1.
func (f *faces) link() (last []int32) {
	n := f.net
	start := make([]int32, len(n.pts)+1)
	for e := range n.u {
		start[n.u[e]+1]++
		start[n.v[e]+1]++
	}
	for i := range n.pts {
		start[i+1] += start[i]
	}
	out := make([]int32, 2*len(n.u))
	at := slices.Clone(start[:len(n.pts)])
	for e := range n.u { // rightward half-edges come first around each vertex
		out[at[n.u[e]]] = int32(2 * e)
		at[n.u[e]]++
	}
	mid := slices.Clone(at)
	for e := range n.u {
		out[at[n.v[e]]] = int32(2*e + 1)
		at[n.v[e]]++
	}
	f.half = make([]halfEdge, 2*len(n.u))
	last = make([]int32, len(n.pts))
	for p := range n.pts {
		last[p] = -1
		star := out[start[p]:start[p+1]]
		f.sortTurn(out[start[p]:mid[p]])
		f.sortTurn(out[mid[p]:start[p+1]])
		for i, h := range star {
			before := star[(i+len(star)-1)%len(star)]
			f.half[h^1].next = before
		}
		if mid[p] > start[p] {
			last[p] = out[mid[p]-1]
		}
	}
	return last
}

// sortTurn sorts half-edges of one half-plane counter-clockwise.
func (f *faces) sortTurn(star []int32) {
	if len(star) < 2 {
		return
	}
	o := f.net.pts[f.tail(star[0])]
	turn := func(g, h int32) int {
		return -Orient(o, f.net.pts[f.tail(g^1)], f.net.pts[f.tail(h^1)])
	}
	if len(star) == 2 {
		if turn(star[0], star[1]) > 0 {
			star[0], star[1] = star[1], star[0]
		}
		return
	}
	slices.SortFunc(star, turn)
}

// walkCycles numbers the closed walks; until nest, they all count as faces.
func (f *faces) walkCycles() {
	for h := range f.half {
		f.half[h].face = -1
	}
	for h := range f.half {
		if f.half[h].face >= 0 {
			continue
		}
		id := int32(len(f.first))
		f.first = append(f.first, int32(h))
		for g := int32(h); f.half[g].face < 0; g = f.half[g].next {
			f.half[g].face = id
		}
	}
}

// nest finds the face around every component. The outer walk of a component
// holds the left side of its leftmost vertex's last half-edge; a ray to the
// left from there ends in the face that surrounds the component.
func (f *faces) nest(last []int32) {
	n := f.net
	sets := newSets(len(n.pts))
	for e := range n.u {
		sets.join(n.u[e], n.v[e])
	}
	f.guest = make([]int32, len(f.first)+1)
	f.sibling = make([]int32, len(f.first))
	for c := range f.guest {
		f.guest[c] = -1
	}
	var rays *rayGrid
	for p := range n.pts { // ascending: the first vertex of a set is its leftmost
		if last[p] < 0 || sets.find(int32(p)) != int32(p) {
			continue
		}
		around := f.plane()
		if p > 0 {
			if rays == nil {
				rays = newRayGrid(len(n.u), func(e int32) (Point, Point) { return n.pts[n.u[e]], n.pts[n.v[e]] })
			}
			if e := rays.leftOf(n.pts[p]); e >= 0 {
				h := 2 * e
				if n.pts[n.u[e]].Y < n.pts[n.v[e]].Y {
					h++ // the right side of the rising edge
				}
				around = f.half[h].face // settled: that component begins further left
			}
		}
		c := f.half[last[p]].face
		for h := last[p]; f.half[h].face != around; h = f.half[h].next {
			f.half[h].face = around
		}
		f.sibling[c], f.guest[around] = f.guest[around], c
	}
}

// sets joins numbers into classes; each class is named by its least member.
type sets []int32

func newSets(n int) sets {
	s := make(sets, n)
	for i := range s {
		s[i] = int32(i)
	}
	return s
}

func (s sets) find(i int32) int32 {
	for s[i] != i {
		s[i] = s[s[i]]
		i = s[i]
	}
	return i
}

func (s sets) join(i, j int32) {
	i, j = s.find(i), s.find(j)
	switch {
	case i < j:
		s[j] = i
	case j < i:
		s[i] = j
	}
}

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
