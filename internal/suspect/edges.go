package suspect

import (
	"math"

	"ohmward/internal/geom"
)

// edges are the copper outlines of one layer: those of the two groups, and an
// index of them and of all others.
type edges struct {
	rings  [2][]geom.Ring
	length [2]float64 // metres
	bounds [2]geom.Box
	own    [2]*geom.EdgeIndex
	all    *geom.EdgeIndex
	inside [2]*geom.Locator
}

// newEdges gathers the outlines of one layer of the board.
func newEdges(q Question, layer int) *edges {
	e := &edges{bounds: [2]geom.Box{geom.EmptyBox(), geom.EmptyBox()}}
	member := map[int]int{}
	for g, nets := range q.Groups {
		for _, n := range nets {
			member[n] = g
		}
	}
	var all []geom.TaggedSegment
	var own [2][]geom.TaggedSegment
	var copper [2]geom.Region
	for n := range q.Nets.Nets {
		region := q.Nets.Copper(n, layer)
		g, ours := member[n]
		if ours {
			copper[g] = append(copper[g], region...)
		}
		for _, poly := range region {
			poly.Rings(func(r geom.Ring) {
				for i, p := range r {
					seg := geom.TaggedSegment{Segment: geom.Segment{A: p, B: r[(i+1)%len(r)]}, Tag: int32(n)}
					all = append(all, seg)
					if ours {
						own[g] = append(own[g], seg)
						e.length[g] += metres(seg.A, seg.B)
					}
				}
				if ours {
					e.rings[g] = append(e.rings[g], r)
					e.bounds[g] = e.bounds[g].Join(r.Bounds())
				}
			})
		}
	}
	e.all = geom.NewEdgeIndex(all)
	for g := range own {
		e.own[g] = geom.NewEdgeIndex(own[g])
		e.inside[g] = geom.NewLocator(copper[g])
	}
	return e
}

// nearest finds the point of a group's outline nearest to p within reach
// metres, and its distance in metres.
func (e *edges) nearest(group int, p geom.Point, reach float64) (geom.Point, float64, bool) {
	f, ok := e.own[group].Nearest(p, nm(reach), nil)
	return f.On.Round(), f.Dist * 1e-9, ok
}

// blockedSlack keeps the copper that the line starts and ends on from
// blocking it, in nanometres.
const blockedSlack = 30

// blocked tells whether any copper outline lies between two points on
// outlines.
func (e *edges) blocked(p, q geom.Point) bool { return blocked(e.all, p, q) }

// blocked is the same for any index of outlines.
func blocked(all *geom.EdgeIndex, p, q geom.Point) bool {
	dx, dy := float64(q.X-p.X), float64(q.Y-p.Y)
	l := math.Hypot(dx, dy)
	if l <= 2*blockedSlack {
		return false
	}
	ux, uy := dx/l*blockedSlack, dy/l*blockedSlack
	a := geom.Point{X: p.X + int64(math.Round(ux)), Y: p.Y + int64(math.Round(uy))}
	b := geom.Point{X: q.X - int64(math.Round(ux)), Y: q.Y - int64(math.Round(uy))}
	for _, i := range all.Query(geom.EmptyBox().Extend(a).Extend(b), nil) {
		if s := all.Edge(i); geom.SegmentsCross(s.A, s.B, a, b) {
			return true
		}
	}
	return false
}
