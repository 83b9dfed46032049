package suspect

import (
	"math"

	"ohmward/geom"
)

// edges are the copper outlines of one layer: those of the two groups, and an
// index of them and of all others, as far as the groups come near each other.
type edges struct {
	rings  [2][]geom.Ring
	length [2]float64 // metres
	lowest [2]int     // the lowest net with copper here: tells equals apart
	bounds [2]geom.Box
	copper [2]geom.Region
	near   [2]*around // what lies near each group's outlines and holes
	own    [2]*geom.EdgeIndex
	all    *geom.EdgeIndex
}

// newEdges gathers the outlines of one layer of the board: of each group what
// lies near the other, and of all copper what may stand between.
func newEdges(q Question, layer int, member map[int]int, zone geom.Box) *edges {
	e := &edges{bounds: [2]geom.Box{geom.EmptyBox(), geom.EmptyBox()}}
	for g := range e.near {
		e.near[g] = newAround(zone)
	}
	for n := range q.Nets.Nets {
		if g, ours := member[n]; ours {
			for _, poly := range q.Nets.Copper(n, layer) {
				e.take(g, n, poly)
			}
			for _, i := range q.Nets.Nets[n].Holes {
				e.near[g].markBox(q.Board.Holes[i].Bounds())
			}
		}
	}
	reach := nm(math.Max(q.Reach, holeReach))
	for g := range e.near {
		e.near[g].spread(reach)
	}
	e.index(q, layer, member)
	return e
}

// index makes the indices of edges.
func (e *edges) index(q Question, layer int, member map[int]int) {
	both := e.near[0].and(e.near[1])
	var all []geom.TaggedSegment
	for n := range q.Nets.Nets {
		for _, poly := range q.Nets.Copper(n, layer) {
			poly.Rings(func(r geom.Ring) { all = appendEdges(all, r, int32(n), both.touches) })
		}
	}
	var own [2][]geom.TaggedSegment
	for g := range own {
		for _, r := range e.rings[g] {
			own[g] = appendEdges(own[g], r, 0, e.near[1-g].touches)
		}
		e.own[g] = geom.NewEdgeIndex(own[g])
	}
	if len(own[0]) > 0 && len(own[1]) > 0 {
		e.all = geom.NewEdgeIndex(all)
	}
}

// take adds a piece of copper of a group.
func (e *edges) take(group, net int, poly geom.Polygon) {
	if len(e.copper[group]) == 0 {
		e.lowest[group] = net
	}
	e.copper[group] = append(e.copper[group], poly)
	e.bounds[group] = e.bounds[group].Join(poly.Bounds())
	poly.Rings(func(r geom.Ring) {
		e.rings[group] = append(e.rings[group], r)
		r.Edges(func(s geom.Segment) {
			e.length[group] += metres(s.A, s.B)
			e.near[group].markBox(s.Bounds())
		})
	})
}

// appendEdges appends the edges of an outline whose boxes pass.
func appendEdges(out []geom.TaggedSegment, r geom.Ring, tag int32,
	pass func(geom.Box) bool) []geom.TaggedSegment {
	r.Edges(func(s geom.Segment) {
		if pass == nil || pass(s.Bounds()) {
			out = append(out, geom.TaggedSegment{Segment: s, Tag: tag})
		}
	})
	return out
}

// facer looks from the outlines of a group to those of the other.
func (e *edges) facer(group int, reach float64) *facer {
	return &facer{others: e.own[1-group], all: e.all, reach: reach}
}

// meeting is the part of the plan in which the two groups come near each
// other, on whatever layers.
func meeting(q Question) geom.Box {
	margin := nm(q.Reach)
	var box [2]geom.Box
	for g, nets := range q.Groups {
		box[g] = geom.EmptyBox()
		for _, n := range nets {
			for _, p := range q.Nets.Nets[n].Pieces {
				box[g] = box[g].Join(q.Nets.Layers[p.Layer][p.Polygon].Bounds())
			}
			for _, i := range q.Nets.Nets[n].Holes {
				h := q.Board.Holes[i]
				box[g] = box[g].Extend(h.At).Extend(h.To)
				margin = max(margin, h.Diameter/2+nm(holeReach))
			}
		}
	}
	return meetBox(box[0].Grow(margin), box[1].Grow(margin))
}
