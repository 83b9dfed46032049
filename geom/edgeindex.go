package geom

import (
	"math"
	"slices"
)

// TaggedSegment is a segment with a number that means something to its owner,
// for example a net.
type TaggedSegment struct {
	Segment
	Tag int32 // the caller's own number
}

// EdgeIndex finds segments by place. It may be used by several goroutines at
// once.
type EdgeIndex struct {
	edges []TaggedSegment
	grid  grid
	cells buckets
}

// NewEdgeIndex prepares segments for many questions. The index keeps a copy.
func NewEdgeIndex(edges []TaggedSegment) *EdgeIndex {
	x := &EdgeIndex{edges: slices.Clone(edges)}
	r := newRayGrid(len(edges), func(e int32) (Point, Point) { return x.edges[e].A, x.edges[e].B })
	x.grid, x.cells = r.grid, r.cells
	return x
}

// Edge gives segment i as it was put in.
func (x *EdgeIndex) Edge(i int32) TaggedSegment { return x.edges[i] }

// Query appends to buf the indices, ascending, of the segments that may meet
// the closed box: all that do, and some that only come near it.
func (x *EdgeIndex) Query(b Box, buf []int32) []int32 {
	first := len(buf)
	f, ok := x.grid.under(b)
	if !ok {
		return buf
	}
	for r := f.r0; r <= f.r1; r++ {
		for c := f.c0; c <= f.c1; c++ {
			for _, e := range x.cells.of(r*x.grid.nx + c) {
				if x.edges[e].Bounds().Touches(b) {
					buf = append(buf, e)
				}
			}
		}
	}
	slices.Sort(buf[first:])
	return buf[:first+len(slices.Compact(buf[first:]))]
}

// Facing is a segment near another one.
type Facing struct {
	Edge int32   // index of the found segment
	At   Vec     // nearest point on the asking segment
	On   Vec     // nearest point on the found segment
	Dist float64 // nanometres
}

// farthest bounds distances asked for: beyond it lies everything.
const farthest = 8 * MaxCoord

// Near gives every segment that accept lets through (nil: all) within a
// distance of s, in nanometres, in ascending order of index.
func (x *EdgeIndex) Near(s Segment, within int64, accept func(i int32) bool) []Facing {
	var out []Facing
	within = min(within, farthest)
	for _, e := range x.Query(s.Bounds().Grow(within), nil) {
		if accept != nil && !accept(e) {
			continue
		}
		if at, on, d := Closest(s, x.edges[e].Segment); d <= float64(within) {
			out = append(out, Facing{e, at, on, d})
		}
	}
	return out
}

// Nearest gives the segment nearest to p that accept lets through (nil: all)
// within a distance in nanometres; of equals the lowest index.
func (x *EdgeIndex) Nearest(p Point, within int64, accept func(i int32) bool) (found Facing, ok bool) {
	if len(x.edges) == 0 || within < 0 {
		return Facing{}, false
	}
	within = min(within, farthest)
	found.Dist = math.Inf(1)
	for d := min(x.grid.cell, within); ; d = min(4*d, within) {
		for _, e := range x.Query(Box{p, p}.Grow(d), nil) {
			if accept != nil && !accept(e) {
				continue
			}
			if dist := DistPointSegment(p, x.edges[e].A, x.edges[e].B); dist < found.Dist {
				found = Facing{e, p.Vec(), NearestOnSegment(p, x.edges[e].A, x.edges[e].B), dist}
			}
		}
		if found.Dist <= float64(d) {
			return found, true
		}
		if d >= within {
			return Facing{}, false
		}
	}
}
