package suspect

import "ohmward/geom"

// edges are the copper outlines of one layer: those of the two groups, and an
// index of them and of all others, as far as the groups come near each other.
type edges struct {
	rings  [2][]geom.Ring
	length [2]float64 // metres
	lowest [2]int     // the lowest net with copper here: tells equals apart
	bounds [2]geom.Box
	copper [2]geom.Region
	own    [2]*geom.EdgeIndex
	all    *geom.EdgeIndex
}

// newEdges gathers the outlines of one layer of the board: of each group what
// lies near the other, and of all copper what may stand between.
func newEdges(q Question, layer int, member map[int]int, zone geom.Box) *edges {
	e := &edges{bounds: [2]geom.Box{geom.EmptyBox(), geom.EmptyBox()}}
	var all []geom.TaggedSegment
	var own [2][]geom.TaggedSegment
	for n := range q.Nets.Nets {
		g, ours := member[n]
		for _, poly := range q.Nets.Copper(n, layer) {
			if ours {
				e.take(g, n, poly)
			}
			poly.Rings(func(r geom.Ring) {
				from := len(all)
				all = appendEdges(all, r, int32(n), zone)
				if ours {
					own[g] = append(own[g], all[from:]...)
				}
			})
		}
	}
	for g := range own {
		e.own[g] = geom.NewEdgeIndex(own[g])
	}
	if len(own[0]) > 0 && len(own[1]) > 0 {
		e.all = geom.NewEdgeIndex(all)
	}
	return e
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
		r.Edges(func(s geom.Segment) { e.length[group] += metres(s.A, s.B) })
	})
}

// everywhere is the zone of all copper.
var everywhere = geom.Box{}.Grow(geom.MaxCoord)

// appendEdges appends the edges of an outline whose boxes touch a zone.
func appendEdges(out []geom.TaggedSegment, r geom.Ring, tag int32, zone geom.Box) []geom.TaggedSegment {
	r.Edges(func(s geom.Segment) {
		if zone.Touches(s.Bounds()) {
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
