package geom

import (
	"cmp"
	"slices"

	"ohmward/internal/unionfind"
)

// region traces the boundary between inside and outside faces. Connected
// inside faces make one polygon: its rings are found by the faces they bound,
// so nothing has to be tested for lying within another.
func (f *faces) region(side []uint8) Region {
	n := f.net
	wall := func(h int32) bool { return side[f.half[h].face] != side[f.half[h^1].face] }
	one := unionfind.New(len(f.first) + 1)
	corners := make([]uint8, len(n.pts)) // walls at each vertex, up to 3
	for e := range n.u {
		h := int32(2 * e)
		switch {
		case wall(h):
			for _, p := range [2]int32{n.u[e], n.v[e]} {
				corners[p] = min(corners[p]+1, 3)
			}
		case side[f.half[h].face] == in:
			one.Join(int(f.half[h].face), int(f.half[h^1].face))
		}
	}
	t := tracer{faces: f, corners: corners, at: make([]int32, len(n.pts)), index: map[int]int{}}
	done := make([]bool, len(f.half))
	for h := range int32(len(f.half)) {
		if done[h] || side[f.half[h].face] != in || !wall(h) {
			continue
		}
		t.piece = one.Find(int(f.half[h].face))
		t.chain = t.chain[:0]
		for g := h; !done[g]; {
			done[g] = true
			t.push(f.tail(g))
			g = f.half[g].next
			for !wall(g) {
				g = f.half[g^1].next
			}
		}
		t.push(f.tail(h))
		t.at[f.tail(h)] = 0
	}
	return t.sorted()
}

// tracer collects rings. A walk that comes back to a vertex is split there, so
// every ring is simple.
type tracer struct {
	*faces
	corners []uint8
	at      []int32 // 1 + place of a vertex in chain
	chain   []int32
	piece   int
	index   map[int]int
	pieces  []Polygon
}

func (t *tracer) push(p int32) {
	if i := t.at[p]; i > 0 {
		loop := t.chain[i-1:]
		for _, q := range loop {
			t.at[q] = 0
		}
		t.emit(loop)
		t.chain = t.chain[:i-1]
	}
	t.chain = append(t.chain, p)
	t.at[p] = int32(len(t.chain))
}

// emit makes a ring of a closed chain of vertices, without those in the middle
// of a straight run where nothing else touches.
func (t *tracer) emit(loop []int32) {
	ring := make(Ring, len(loop))
	for i, p := range loop {
		ring[i] = t.net.pts[p]
	}
	ring = ring.straightened(func(i int) bool { return t.corners[loop[i]] > 2 })
	k, ok := t.index[t.piece]
	if !ok {
		k = len(t.pieces)
		t.index[t.piece] = k
		t.pieces = append(t.pieces, Polygon{})
	}
	if turnsLeft(ring) {
		t.pieces[k].Outer = ring
	} else {
		t.pieces[k].Holes = append(t.pieces[k].Holes, ring)
	}
}

// turnsLeft tells whether a simple ring that begins with its least vertex runs
// counter-clockwise.
func turnsLeft(r Ring) bool { return Orient(r[len(r)-1], r[0], r[1]) > 0 }

func (t *tracer) sorted() Region {
	for _, p := range t.pieces {
		p.SortHoles()
	}
	Region(t.pieces).Sort()
	return t.pieces
}

// SortHoles puts the holes into the order in which the set operations give
// them.
func (p Polygon) SortHoles() { slices.SortFunc(p.Holes, compareRings) }

// Sort puts the polygons into the order in which the set operations give them.
func (r Region) Sort() {
	slices.SortFunc(r, func(p, q Polygon) int { return compareRings(p.Outer, q.Outer) })
}

// Canonical gives a simple ring as the set operations do: without corners in
// the middle of a straight run, beginning at the least corner.
func (r Ring) Canonical() Ring { return r.straightened(func(int) bool { return false }) }

// straightened is Canonical that keeps the corners that stay.
func (r Ring) straightened(stay func(i int) bool) Ring {
	out := make(Ring, 0, len(r))
	low := 0
	for i, p := range r {
		before, after := r[(i+len(r)-1)%len(r)], r[(i+1)%len(r)]
		if cross(before, p, after) == 0 && !stay(i) {
			continue
		}
		if len(out) > 0 && comparePoints(p, out[low]) < 0 {
			low = len(out)
		}
		out = append(out, p)
	}
	return slices.Concat(out[low:], out[:low])
}

func compareRings(r, s Ring) int {
	for i := range min(len(r), len(s)) {
		if c := comparePoints(r[i], s[i]); c != 0 {
			return c
		}
	}
	return cmp.Compare(len(r), len(s))
}
