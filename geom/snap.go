package geom

import (
	"cmp"
	"slices"
)

// Snap rounding (Hobby 1999; Guibas and Marimont 1998): every vertex and
// every rounded crossing makes its pixel hot; a segment that passes through
// hot pixels is bent through their centres. The bent segments meet in vertices
// only. Bending is repeated on the links themselves until no link passes
// through a further hot pixel (Halperin and Packer 2002), so that the result
// is its own snap rounding.

// near is a hot point that lies close enough to an edge that it, or a link it
// is bent into, may pass through the point's pixel.
type near struct{ edge, point int32 }

// snapper finds the hot pixels and what is close to them.
type snapper struct {
	net   *network
	fresh []Point // hot crossings that are no vertices; numbered after net.pts
	found []near
	tmp   []Point
	local []localSeg

	budget *budget
}

// point gives a vertex or a fresh hot point.
func (s *snapper) point(i int32) Point {
	if int(i) < len(s.net.pts) {
		return s.net.pts[i]
	}
	return s.fresh[int(i)-len(s.net.pts)]
}

// snap gives the snap-rounded network of n. If the budget runs out, the
// network given is not to be used.
func snap(n *network, b *budget) *network {
	for {
		s := snapper{net: n, budget: b}
		s.findHot()
		if len(s.found) == 0 || b.spent() {
			return n
		}
		pieces, again := s.bend()
		pts := n.pts
		if len(s.fresh) > 0 {
			var place []int32
			pts, place = pointsOf(slices.Concat(n.pts, s.fresh))
			for i := range pieces {
				pieces[i].u, pieces[i].v = place[pieces[i].u], place[pieces[i].v]
			}
		}
		if b.spent() {
			return n
		}
		n = combine(pts, pieces)
		if !again {
			return n
		}
	}
}

// bend leads every edge through the hot pixels on its way. again is set if
// links were bent so often that points beyond the candidates might matter.
func (s *snapper) bend() (pieces []piece, again bool) {
	n := s.net
	byEdge := fillBuckets(n.edges(), func(put func(int, int32)) {
		for _, f := range s.found {
			put(int(f.edge), f.point)
		}
	})
	pieces = make([]piece, 0, len(n.ch)+len(s.found))
	b := bender{snapper: s}
	for e := range n.edges() {
		u, v := n.u[e], n.v[e]
		b.chain = append(b.chain[:0], u)
		if b.hot = byEdge.of(e); len(b.hot) > 0 {
			b.sort(n.pts[u], n.pts[v])
			b.path(u, v, 0, len(b.hot), 0)
		} else {
			b.chain = append(b.chain, v)
		}
		if s.budget.spent() {
			return nil, false
		}
		for k := n.off[e]; k < n.off[e+1]; k++ {
			for i := 1; i < len(b.chain); i++ {
				pieces = append(pieces, piece{b.chain[i-1], b.chain[i], n.ch[k], n.w[k]})
			}
		}
	}
	return pieces, b.deep
}

// bender leads one edge through hot pixels. Its candidates stand in the order
// of the Manhattan way along the edge, in which the edge and all its links meet
// pixels.
type bender struct {
	*snapper
	hot   []int32
	chain []int32
	on    []int32 // stack of places in hot
	deep  bool
}

func (b *bender) sort(p, q Point) {
	sx, sy := int64(sign(q.X-p.X)), int64(sign(q.Y-p.Y))
	key := func(i int32) int64 {
		h := b.point(i)
		return sx*h.X + sy*h.Y
	}
	slices.SortFunc(b.hot, func(i, j int32) int {
		return cmp.Or(cmp.Compare(key(i), key(j)), cmp.Compare(i, j))
	})
}

// path appends to the chain the way from u (already there) to v through the
// hot pixels among hot[lo:hi].
func (b *bender) path(u, v int32, lo, hi, depth int) {
	p, q := b.point(u), b.point(v)
	first := len(b.on)
	if !b.budget.spend(int64(hi-lo), p) {
		return
	}
	straight := true
	for k := lo; k < hi; k++ {
		if h := b.point(b.hot[k]); h != p && h != q && captures(p, q, h) {
			b.on = append(b.on, int32(k))
			straight = straight && cross(p, q, h) == 0
		}
	}
	b.deep = b.deep || depth > maxBends
	for i := first; i < len(b.on); i++ {
		k := int(b.on[i])
		if next := b.hot[k]; straight {
			b.chain = append(b.chain, next)
		} else {
			b.path(u, next, lo, k, depth+1)
			u, lo = next, k+1
		}
	}
	if straight || len(b.on) == first {
		b.chain = append(b.chain, v)
	} else {
		b.path(u, v, lo, hi, depth+1)
	}
	b.on = b.on[:first]
}

// Each bending moves a link by less than 0.71 nm. Candidates within 3.5 nm of
// the edge serve the edge and three generations of links.
const maxBends = 3

// closeBy tells whether a point of the segment's box, with cross product c
// against the segment, is a candidate: |c| over the length is at most 3.5.
func closeBy(dx, dy, c int64) bool { return 2*abs(c) <= 7*(abs(dx)+abs(dy)) }
