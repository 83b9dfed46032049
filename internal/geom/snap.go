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
}

// point gives a vertex or a fresh hot point.
func (s *snapper) point(i int32) Point {
	if int(i) < len(s.net.pts) {
		return s.net.pts[i]
	}
	return s.fresh[int(i)-len(s.net.pts)]
}

// snap gives the snap-rounded network of n.
func snap(n *network, keep bool) *network {
	for {
		s := snapper{net: n}
		s.findHot()
		if len(s.found) == 0 {
			return n
		}
		pieces, again := s.bend()
		pts := n.pts
		if len(s.fresh) > 0 {
			all := append(slices.Clone(n.pts), s.fresh...)
			var place []int32
			pts, place = pointsOf(all)
			for i := range pieces {
				pieces[i].u, pieces[i].v = place[pieces[i].u], place[pieces[i].v]
			}
		}
		n = combine(pts, pieces, keep)
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
	var chain []int32
	for e := range n.edges() {
		u, v := n.u[e], n.v[e]
		chain = append(chain[:0], u)
		if hot := byEdge.of(e); len(hot) > 0 {
			var deep bool
			chain, deep = s.path(chain, u, v, hot, 0)
			again = again || deep
		} else {
			chain = append(chain, v)
		}
		for k := n.off[e]; k < n.off[e+1]; k++ {
			for i := 1; i < len(chain); i++ {
				pieces = append(pieces, piece{chain[i-1], chain[i], n.ch[k], n.w[k]})
			}
		}
	}
	return pieces, again
}

// path appends to chain the way from u (already there) to v through the hot
// pixels among the candidates.
func (s *snapper) path(chain []int32, u, v int32, hot []int32, depth int) (out []int32, deep bool) {
	a, b := s.point(u), s.point(v)
	var on []int32
	straight := true
	for _, h := range hot {
		if p := s.point(h); h != u && h != v && captures(a, b, p) {
			on = append(on, h)
			straight = straight && cross(a, b, p) == 0
		}
	}
	if len(on) == 0 {
		return append(chain, v), false
	}
	sx, sy := int64(sign(b.X-a.X)), int64(sign(b.Y-a.Y))
	// A straight segment meets pixels in the order of their Manhattan way.
	slices.SortFunc(on, func(i, j int32) int {
		p, q := s.point(i), s.point(j)
		return cmp.Compare(sx*p.X+sy*p.Y, sx*q.X+sy*q.Y)
	})
	on = append(on, v)
	if straight {
		return append(chain, on...), false
	}
	deep = depth >= maxBends
	for _, next := range on {
		var d bool
		chain, d = s.path(chain, u, next, hot, depth+1)
		deep = deep || d
		u = next
	}
	return chain, deep
}

// Each bending moves a link by less than 0.71 nm. Candidates within 3.5 nm of
// the edge serve the edge and three generations of links.
const maxBends = 3

// close tells whether a point of the segment's box, with cross product c
// against the segment, is a candidate: |c| over the length is at most 3.5.
func closeBy(dx, dy, c int64) bool { return 2*abs(c) <= 7*(abs(dx)+abs(dy)) }
