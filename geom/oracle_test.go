package geom

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
)

// slabArea is an independent area: it cuts the plane at every vertex and
// crossing into upright slabs, sorts the edges of each slab by height at its
// middle and adds up the trapezia that the judge calls inside. No part of it
// shares code with the arrangement. shares gives each edge's windings.
func slabArea(edges []Segment, share func(i int) (ch, w int32), state windings) float64 {
	var xs []float64
	for i, e := range edges {
		xs = append(xs, float64(e.A.X), float64(e.B.X))
		for _, f := range edges[:i] {
			if SegmentsCross(e.A, e.B, f.A, f.B) {
				xs = append(xs, meet(e, f).X)
			}
		}
	}
	slices.Sort(xs)
	type item struct {
		y      float64
		yl, yr float64
		i      int
	}
	area := 0.0
	for k := 1; k < len(xs); k++ {
		l, r := xs[k-1], xs[k]
		if r <= l {
			continue
		}
		m := (l + r) / 2
		var span []item
		for i, e := range edges {
			if lo, hi := float64(min(e.A.X, e.B.X)), float64(max(e.A.X, e.B.X)); lo < hi && lo <= l && hi >= r {
				at := func(x float64) float64 {
					return float64(e.A.Y) + float64(e.B.Y-e.A.Y)*(x-float64(e.A.X))/float64(e.B.X-e.A.X)
				}
				span = append(span, item{at(m), at(l), at(r), i})
			}
		}
		slices.SortFunc(span, func(a, b item) int { return sign(int64(math.Copysign(1, a.y-b.y))) })
		for j, s := range span {
			ch, w := share(s.i)
			if edges[s.i].A.X < edges[s.i].B.X {
				state.step(ch, w) // upward past a rightward edge: to its left
			} else {
				state.step(ch, -w)
			}
			if state.inside() && j+1 < len(span) {
				area += (span[j+1].yl - s.yl + span[j+1].yr - s.yr) / 2 * (r - l)
			}
		}
	}
	return area
}

func ringSegments(rings []Ring) (out []Segment, length float64) {
	for _, r := range rings {
		if len(r) < 3 {
			continue
		}
		r.Edges(func(s Segment) {
			out = append(out, s)
			length += Distance(s.A, s.B)
		})
	}
	return out, length
}

// fillOracle is the slab area of the filling and the length of the outline.
func fillOracle(rings []Ring, rule Rule) (area, length float64) {
	segs, length := ringSegments(rings)
	return slabArea(segs, func(int) (int32, int32) { return 0, 1 }, &oneWinding{rule: rule}), length
}

// checkClean tells what is wrong with a region that should be clean.
func checkClean(r Region) error {
	for i, p := range r {
		if err := checkRing(p.Outer, 1); err != nil {
			return fmt.Errorf("polygon %d outer: %w", i, err)
		}
		for _, h := range p.Holes {
			if err := checkRing(h, -1); err != nil {
				return fmt.Errorf("polygon %d hole: %w", i, err)
			}
			corners := h
			if len(h)*len(p.Outer) > 1e5 {
				corners = h[:1] // as no edges cross, one is as good as all
			}
			for _, q := range corners {
				if !p.Outer.Contains(q) {
					return fmt.Errorf("polygon %d: hole vertex %v outside the outer ring", i, q)
				}
			}
		}
	}
	var edges []Segment
	r.Edges(func(s Segment) { edges = append(edges, s) })
	return checkApart(edges)
}

// checkApart tells which edges cross, are there twice or pass through another's
// end. Ends stand by abscissa: an edge meets those only that begin within its
// own range.
func checkApart(edges []Segment) error {
	seen := map[[2]Point]bool{}
	var ends []Point
	for i, s := range edges {
		ends = append(ends, s.A)
		if comparePoints(s.B, s.A) < 0 {
			s.A, s.B = s.B, s.A
			edges[i] = s
		}
		if k := [2]Point{s.A, s.B}; seen[k] {
			return fmt.Errorf("edge %v twice", k)
		} else {
			seen[k] = true
		}
	}
	slices.SortFunc(edges, func(a, b Segment) int { return comparePoints(a.A, b.A) })
	slices.SortFunc(ends, comparePoints)
	for i, s := range edges {
		low, high := min(s.A.Y, s.B.Y), max(s.A.Y, s.B.Y)
		for _, q := range edges[i+1:] {
			if q.A.X > s.B.X {
				break
			}
			if max(q.A.Y, q.B.Y) >= low && min(q.A.Y, q.B.Y) <= high && SegmentsCross(s.A, s.B, q.A, q.B) {
				return fmt.Errorf("edges %v and %v cross", s, q)
			}
		}
		from, _ := slices.BinarySearchFunc(ends, s.A.X-1, func(p Point, x int64) int { return cmp.Compare(p.X, x) })
		for _, p := range ends[from:] {
			if p.X > s.B.X+1 {
				break
			}
			if p.Y >= low-1 && p.Y <= high+1 && p != s.A && p != s.B && captures(s.A, s.B, p) {
				return fmt.Errorf("vertex %v in the way of edge %v", p, s)
			}
		}
	}
	return nil
}

func checkRing(r Ring, turn int) error {
	if len(r) < 3 {
		return fmt.Errorf("%d vertices", len(r))
	}
	seen := map[Point]bool{}
	low := r[0]
	for _, p := range r {
		if seen[p] {
			return fmt.Errorf("vertex %v twice", p)
		}
		seen[p] = true
		if comparePoints(p, low) < 0 {
			low = p
		}
	}
	if low != r[0] {
		return fmt.Errorf("begins at %v, not at its least vertex %v", r[0], low)
	}
	if sign(int64(2*r.Area())) != turn {
		return fmt.Errorf("area %v has the wrong sign", r.Area())
	}
	return nil
}

// checkPlanar tells what is wrong with a snapped network.
func checkPlanar(n *network) error {
	balance := map[[2]int32]int32{}
	for e := range n.u {
		a, b := n.pts[n.u[e]], n.pts[n.v[e]]
		if comparePoints(a, b) >= 0 {
			return fmt.Errorf("edge %v-%v not ascending", a, b)
		}
		for g := range e {
			c, d := n.pts[n.u[g]], n.pts[n.v[g]]
			if SegmentsCross(a, b, c, d) {
				return fmt.Errorf("edges %v-%v and %v-%v cross", a, b, c, d)
			}
			if a == c && b == d {
				return fmt.Errorf("edge %v-%v twice", a, b)
			}
		}
		for _, p := range n.pts {
			if p != a && p != b && captures(a, b, p) {
				return fmt.Errorf("hot pixel %v not on edge %v-%v", p, a, b)
			}
		}
		for k := n.off[e]; k < n.off[e+1]; k++ {
			balance[[2]int32{n.u[e], n.ch[k]}] += n.w[k]
			balance[[2]int32{n.v[e], n.ch[k]}] -= n.w[k]
		}
	}
	for k, v := range balance {
		if v != 0 {
			return fmt.Errorf("channel %d does not close at %v", k[1], n.pts[k[0]])
		}
	}
	return nil
}

// networkArea is the slab area of a snapped network.
func networkArea(n *network, state windings) float64 {
	var segs []Segment
	var from []int32
	for e := range n.u {
		for k := n.off[e]; k < n.off[e+1]; k++ {
			segs = append(segs, Segment{n.pts[n.u[e]], n.pts[n.v[e]]})
			from = append(from, k)
		}
	}
	return slabArea(segs, func(i int) (int32, int32) { return n.ch[from[i]], n.w[from[i]] }, state)
}

func randomRings(rng *rand.Rand, rings, corners int, side int64) []Ring {
	out := make([]Ring, rings)
	for i := range out {
		for range 3 + rng.IntN(corners) {
			out[i] = append(out[i], Point{rng.Int64N(side + 1), rng.Int64N(side + 1)})
		}
	}
	return out
}
