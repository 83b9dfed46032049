package geom

import (
	"cmp"
	"math/bits"
	"slices"
)

// piece is one copy of an edge on its way into a network: from vertex u to
// vertex v it belongs to channel ch, w times (negative: from v to u).
type piece struct{ u, v, ch, w int32 }

// network is a set of distinct edges u < v between points in ascending order
// (by x, then y). Edge e carries the shares off[e]:off[e+1] of its channels.
type network struct {
	pts  []Point
	u, v []int32
	off  []int32
	ch   []int32
	w    []int32
}

func (n *network) edges() int { return len(n.u) }

// pointsOf sorts points, drops repeats and gives the place of each original.
func pointsOf(all []Point) (pts []Point, place []int32) {
	place = make([]int32, len(all))
	if len(all) == 0 {
		return nil, place
	}
	box := EmptyBox()
	for _, p := range all {
		box = box.Extend(p)
	}
	low := bits.Len64(uint64(box.Max.Y - box.Min.Y))
	keys := make([]keyed, len(all))
	for i, p := range all {
		keys[i] = keyed{uint64(p.X-box.Min.X)<<low | uint64(p.Y-box.Min.Y), int32(i)}
	}
	keys = radixSort(keys)
	pts = make([]Point, 0, len(all))
	for i, k := range keys {
		if i == 0 || k.key != keys[i-1].key {
			pts = append(pts, all[k.item])
		}
		place[k.item] = int32(len(pts) - 1)
	}
	return pts, place
}

type keyed struct {
	key  uint64
	item int32
}

// radixSort sorts by key, keeping the order of equals.
func radixSort(a []keyed) []keyed {
	if len(a) < 512 {
		slices.SortStableFunc(a, func(x, y keyed) int { return cmp.Compare(x.key, y.key) })
		return a
	}
	const digit = 12
	var top uint64
	for _, k := range a {
		top |= k.key
	}
	b := make([]keyed, len(a))
	var count [1 << digit]int
	for shift := 0; shift < 64 && top>>shift != 0; shift += digit {
		clear(count[:])
		for i := range a {
			count[a[i].key>>shift&(1<<digit-1)]++
		}
		sum := 0
		for i, c := range count {
			count[i], sum = sum, sum+c
		}
		for i := range a {
			d := a[i].key >> shift & (1<<digit - 1)
			b[count[d]] = a[i]
			count[d]++
		}
		a, b = b, a
	}
	return a
}

// combine merges equal edges and adds up their shares. Edges whose shares all
// cancel are dropped, and the points left without any: no edge may bend towards
// what is no longer there.
func combine(pts []Point, pieces []piece) *network {
	start := make([]int32, len(pts)+1)
	for i := range pieces {
		p := &pieces[i]
		if p.u > p.v {
			p.u, p.v, p.w = p.v, p.u, -p.w
		}
		start[p.u+1]++
	}
	for i := range pts {
		start[i+1] += start[i]
	}
	sorted := make([]piece, len(pieces))
	at := slices.Clone(start[:len(pts)])
	for _, p := range pieces {
		sorted[at[p.u]] = p
		at[p.u]++
	}
	n := &network{
		pts: pts,
		u:   make([]int32, 0, len(pieces)), v: make([]int32, 0, len(pieces)),
		off: make([]int32, 1, len(pieces)+1),
		ch:  make([]int32, 0, len(pieces)), w: make([]int32, 0, len(pieces)),
	}
	for i := range pts {
		bucket := sorted[start[i]:start[i+1]]
		sortPieces(bucket)
		n.append(bucket)
	}
	n.dropBare()
	return n
}

// dropBare drops the points in which no edge ends.
func (n *network) dropBare() {
	place := make([]int32, len(n.pts))
	for e := range n.u {
		place[n.u[e]], place[n.v[e]] = 1, 1
	}
	kept := int32(0)
	for _, used := range place {
		kept += used
	}
	if int(kept) == len(n.pts) {
		return
	}
	pts := make([]Point, 0, kept)
	for i, used := range place {
		place[i] = int32(len(pts))
		if used == 1 {
			pts = append(pts, n.pts[i])
		}
	}
	for e := range n.u {
		n.u[e], n.v[e] = place[n.u[e]], place[n.v[e]]
	}
	n.pts = pts
}

func sortPieces(b []piece) {
	slices.SortStableFunc(b, func(x, y piece) int {
		return cmp.Or(cmp.Compare(x.v, y.v), cmp.Compare(x.ch, y.ch))
	})
}

// append adds the edges of a sorted run of pieces with the same u.
func (n *network) append(run []piece) {
	for i := 0; i < len(run); {
		u, v := run[i].u, run[i].v
		for i < len(run) && run[i].v == v {
			ch, w := run[i].ch, int32(0)
			for ; i < len(run) && run[i].v == v && run[i].ch == ch; i++ {
				w += run[i].w
			}
			if w != 0 && u != v {
				n.ch, n.w = append(n.ch, ch), append(n.w, w)
			}
		}
		if len(n.ch) > int(n.off[len(n.off)-1]) {
			n.u, n.v = append(n.u, u), append(n.v, v)
			n.off = append(n.off, int32(len(n.ch)))
		}
	}
}
