package mesh

import (
	"cmp"
	"math"
	"slices"
)

// sizeField gives the wished edge length anywhere: the least over the sizes
// of edge + grading * (distance - radius), in ticks. The sizes stand in a
// tree of boxes so that a query looks at few of them.
type sizeField struct {
	grading float64
	sites   []sizeSite
	nodes   []sizeNode
}

type sizeSite struct {
	at           point
	radius, edge float64
}

// sizeNode bounds sites[lo:hi]; its children, if any, are left and left+1.
type sizeNode struct {
	min, max   point
	edge, base float64 // least edge, least edge - grading*radius
	lo, hi     int32
	left       int32
}

const sizeLeaf = 6

func newSizeField(sizes []Size, grading float64, least float64) *sizeField {
	f := &sizeField{grading: grading}
	for _, s := range sizes {
		f.sites = append(f.sites, sizeSite{
			at:     point{float64(s.At.X) * ticksPerNM, float64(s.At.Y) * ticksPerNM},
			radius: max(float64(s.Radius), 0) * ticksPerNM,
			edge:   max(float64(s.Edge)*ticksPerNM, least),
		})
	}
	if len(f.sites) > 0 {
		f.nodes = append(f.nodes, sizeNode{})
		f.build(0, 0, int32(len(f.sites)))
	}
	return f
}

func (f *sizeField) build(n, lo, hi int32) {
	inf := math.Inf(1)
	node := sizeNode{min: point{inf, inf}, max: point{-inf, -inf}, edge: inf, base: inf, lo: lo, hi: hi,
		left: none}
	for _, s := range f.sites[lo:hi] {
		node.min = point{min(node.min.x, s.at.x), min(node.min.y, s.at.y)}
		node.max = point{max(node.max.x, s.at.x), max(node.max.y, s.at.y)}
		node.edge = min(node.edge, s.edge)
		node.base = min(node.base, s.edge-f.grading*s.radius)
	}
	if hi-lo > sizeLeaf {
		alongX := node.max.x-node.min.x > node.max.y-node.min.y
		slices.SortStableFunc(f.sites[lo:hi], func(a, b sizeSite) int {
			if alongX {
				return cmp.Compare(a.at.x, b.at.x)
			}
			return cmp.Compare(a.at.y, b.at.y)
		})
		node.left = int32(len(f.nodes))
		f.nodes = append(f.nodes, sizeNode{}, sizeNode{})
		mid := (lo + hi) / 2
		f.build(node.left, lo, mid)
		f.build(node.left+1, mid, hi)
	}
	f.nodes[n] = node
}

// below tells whether the wished edge length at p is less than limit.
func (f *sizeField) below(p point, limit float64) bool {
	return len(f.nodes) > 0 && f.belowIn(0, p, limit)
}

func (f *sizeField) belowIn(n int32, p point, limit float64) bool {
	node := &f.nodes[n]
	if node.edge >= limit {
		return false
	}
	dx := max(node.min.x-p.x, p.x-node.max.x, 0)
	dy := max(node.min.y-p.y, p.y-node.max.y, 0)
	if room := limit - node.base; room <= 0 || f.grading*f.grading*(dx*dx+dy*dy) >= room*room {
		return false
	}
	if node.left >= 0 {
		return f.belowIn(node.left, p, limit) || f.belowIn(node.left+1, p, limit)
	}
	for _, s := range f.sites[node.lo:node.hi] {
		d := math.Hypot(p.x-s.at.x, p.y-s.at.y)
		if s.edge+f.grading*max(d-s.radius, 0) < limit {
			return true
		}
	}
	return false
}
