package conduct

import (
	"cmp"
	"math"
	"slices"

	"ohmward/geom"
)

// A contact about as wide as its copper may leave a sliver beside its rim: a strip
// between rim and outline narrower than the least edge of a mesh. It carries no
// current to speak of, since it only leads round the contact, but its faces are
// so flat that linear elements hold the potential straight along it. The rim is
// led across the outline there, so that the contact takes the sliver in.

// The widths in nanometres that count as a sliver: beyond the rim twice the shortest
// edge that the mesher makes, but no more than a share of the contact; short of
// the rim what the mesher may yet move the outline by, as it simplifies it.
const (
	sliverMost  = 2000
	sliverShare = 1.0 / 150
	sliverShort = 1000
)

// sliver is how far beyond its rim a contact takes copper in.
func (d Disc) sliver() float64 { return min(sliverMost, sliverShare*float64(d.Diameter)) }

// alongside is the sine of the angle between rim and outline below which they
// run beside each other.
const alongside = 0.5

// rimTracer leads the rims of one sheet's contacts.
type rimTracer struct {
	layer int
	edges *geom.EdgeIndex
	holes *rimFinder
}

func newRimTracer(sheet Sheet, holes *rimFinder) *rimTracer {
	var edges []geom.TaggedSegment
	sheet.Copper.Edges(func(e geom.Segment) { edges = append(edges, geom.TaggedSegment{Segment: e}) })
	return &rimTracer{sheet.Layer, geom.NewEdgeIndex(edges), holes}
}

// rim is the contact's outline, led past slivers.
func (r *rimTracer) rim(d Disc) geom.Ring {
	plain := d.rim()
	out := make(geom.Ring, 0, len(plain))
	for i, p := range plain {
		out = append(out, r.beyond(d, p))
		out = append(out, r.corners(d, geom.Segment{A: p, B: plain[(i+1)%len(plain)]})...)
	}
	return out
}

// beyond moves a corner of the rim across an outline that runs beside the rim
// there.
func (r *rimTracer) beyond(d Disc, p geom.Point) geom.Point {
	u, width := d.outward(p), d.sliver()
	most, found := 0.0, false
	for _, i := range r.around(geom.EmptyBox().Extend(p)) {
		e := r.edges.Edge(i)
		dx, dy := float64(e.B.X-e.A.X), float64(e.B.Y-e.A.Y)
		c := geom.NearestOnSegment(p, e.A, e.B)
		cx, cy := c.X-float64(p.X), c.Y-float64(p.Y)
		s := cx*u.X + cy*u.Y
		beside := math.Abs(dx*u.X+dy*u.Y) <= alongside*math.Hypot(dx, dy) && math.Hypot(cx, cy) <= width
		if beside && s >= -sliverShort && (!found || s > most) {
			most, found = s, true
		}
	}
	if !found {
		return p
	}
	return pushed(p, u, most+width)
}

// corners gives points that lead a side of the rim round the outline's corners
// right beyond it, in order along the side.
func (r *rimTracer) corners(d Disc, side geom.Segment) []geom.Point {
	length, width := geom.Distance(side.A, side.B), d.sliver()
	along := func(p geom.Point) float64 {
		x, y := float64(p.X-side.A.X), float64(p.Y-side.A.Y)
		return (x*float64(side.B.X-side.A.X) + y*float64(side.B.Y-side.A.Y)) / length
	}
	var out []geom.Point
	for _, i := range r.around(side.Bounds()) {
		e := r.edges.Edge(i)
		for _, p := range [2]geom.Point{e.A, e.B} {
			t := along(p)
			near := geom.DistPointSegment(p, side.A, side.B) <= width
			if near && geom.Orient(side.A, side.B, p) < 0 && t > width && t < length-width {
				out = append(out, pushed(p, d.outward(p), width))
			}
		}
	}
	slices.SortFunc(out, func(a, b geom.Point) int {
		return cmp.Or(cmp.Compare(along(a), along(b)), cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y))
	})
	return slices.Compact(out)
}

// around lists the outline's edges within a sliver of a box, but for those of
// plated holes: touching one is another contact.
func (r *rimTracer) around(box geom.Box) []int32 {
	return slices.DeleteFunc(r.edges.Query(box.Grow(sliverMost), nil), func(i int32) bool {
		e := r.edges.Edge(i)
		return r.holes.bordered(r.layer, float64(e.A.X), float64(e.A.Y), float64(e.B.X), float64(e.B.Y)) >= 0
	})
}

// outward is the direction from the disc's middle.
func (d Disc) outward(p geom.Point) geom.Vec {
	x, y := float64(p.X-d.At.X), float64(p.Y-d.At.Y)
	l := math.Hypot(x, y)
	return geom.Vec{X: x / l, Y: y / l}
}

func pushed(p geom.Point, u geom.Vec, by float64) geom.Point {
	return geom.Vec{X: float64(p.X) + by*u.X, Y: float64(p.Y) + by*u.Y}.Round()
}
