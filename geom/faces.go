package geom

import (
	"slices"

	"ohmward/internal/unionfind"
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
	sets := unionfind.New(len(n.pts))
	for e := range n.u {
		sets.Join(int(n.u[e]), int(n.v[e]))
	}
	f.guest = make([]int32, len(f.first)+1)
	f.sibling = make([]int32, len(f.first))
	for c := range f.guest {
		f.guest[c] = -1
	}
	var rays *rayGrid
	for p := range n.pts { // ascending: the first vertex of a set is its leftmost
		if last[p] < 0 || sets.Find(p) != p {
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
