package mesh

import (
	"cmp"
	"fmt"
	"math"

	"ohmward/geom"
)

// Triangulate meshes the region. A region without polygons gives an empty
// mesh. Rings must not cross or overlap one another (the set operations of
// package geom see to that); touching in points is fine.
func Triangulate(in Input) (*Mesh, error) {
	r, err := readRules(in)
	if err != nil {
		return nil, err
	}
	if err := checkPoints(in); err != nil {
		return nil, err
	}
	region, curves := in.Region, in.Curves
	if in.Simplify > 0 {
		region, curves = simplify(in.Region, in.Curves, in.Simplify)
	}
	m, err := refined(region, curves, r)
	if err != nil {
		return nil, err
	}
	return m.finish(), nil
}

// refined builds, carves and refines.
func refined(region geom.Region, curves [][]geom.Point, r rules) (*tin, error) {
	m, err := construct(region, curves, r.maxVertex, r.snap)
	if err != nil {
		return nil, err
	}
	piece, err := m.carve()
	if err != nil {
		return nil, err
	}
	m.settle(piece)
	return m, (&refiner{tin: m, rules: r}).run()
}

// readRules checks the wishes and converts them to inner units.
func readRules(in Input) (rules, error) {
	angle, grading := cmp.Or(in.MinAngle, 25), cmp.Or(in.Grading, 0.4)
	if !(angle > 0 && angle <= 33) {
		return rules{}, fmt.Errorf("least angle %g degrees: must be above 0 and at most 33", angle)
	}
	if !(grading > 0 && grading <= 10) {
		return rules{}, fmt.Errorf("grading %g: must be above 0 and at most 10", grading)
	}
	if in.MaxEdge < 0 || in.MinEdge < 0 || in.MaxVertices < 0 || in.Simplify < 0 {
		return rules{}, fmt.Errorf("edge limits, simplification and vertex limit must not be negative")
	}
	least, most := cmp.Or(in.MinEdge, 1000), cmp.Or(in.MaxVertices, 5_000_000)
	rad := angle * math.Pi / 180
	r := rules{
		sin2:      math.Sin(rad) * math.Sin(rad),
		lens:      math.Cos(2*rad) * math.Cos(2*rad),
		offset:    0.475 * math.Sqrt((1+math.Cos(rad))/(1-math.Cos(rad))),
		minEdge:   float64(least) * ticksPerNM,
		maxEdge2:  math.Inf(1),
		maxVertex: min(most, 1<<28),
	}
	r.minEdge2 = r.minEdge * r.minEdge
	r.snap = min(ticksPerNM, r.minEdge/1000)
	if in.MaxEdge > 0 {
		e := max(float64(in.MaxEdge), float64(least)) * ticksPerNM
		r.maxEdge2 = e * e
	}
	for i, s := range in.Sizes {
		if s.Edge <= 0 {
			return rules{}, fmt.Errorf("size %d: edge of %d nm: must be positive", i, s.Edge)
		}
	}
	r.sizes = newSizeField(in.Sizes, grading, 2*r.minEdge)
	return r, nil
}

// checkPoints refuses coordinates that the exact arithmetic cannot hold.
func checkPoints(in Input) (err error) {
	check := func(ring []geom.Point) {
		for _, p := range ring {
			if err == nil && max(p.X, -p.X, p.Y, -p.Y) > geom.MaxCoord {
				err = fmt.Errorf("point (%d, %d) nm is beyond %d mm", p.X, p.Y, geom.MaxCoord/1_000_000)
			}
		}
	}
	in.Region.Rings(func(r geom.Ring) { check(r) })
	for _, c := range in.Curves {
		check(c)
	}
	return err
}

// construct gives the constrained Delaunay triangulation of all points and
// lines in a wide square.
func construct(region geom.Region, curves [][]geom.Point, most int, snap float64) (*tin, error) {
	b := newBasis()
	for i, poly := range region {
		b.ring(poly.Outer, int32(i), 0)
		for k, h := range poly.Holes {
			b.ring(h, int32(i), int32(1+k))
		}
	}
	if len(b.points) == 0 {
		return &tin{}, nil
	}
	for i, c := range curves {
		b.curve(c, int32(i))
	}
	if len(b.points) > most {
		return nil, fmt.Errorf("the input has %d points, more than the limit of %d vertices",
			len(b.points), most)
	}
	lo, hi := b.points[0], b.points[0]
	for _, p := range b.points {
		lo = point{min(lo.x, p.x), min(lo.y, p.y)}
		hi = point{max(hi.x, p.x), max(hi.y, p.y)}
	}
	m := newTin(lo, hi, 2*len(b.points))
	number := make([]int32, len(b.points))
	hint := int32(0)
	for _, i := range insertionOrder(b.points, lo, hi) {
		number[i] = int32(len(m.p))
		var ok bool
		if hint, ok = m.insert(b.points[i], hint); !ok {
			panic("mesh: a point lies on no face")
		}
	}
	m.segs, m.snap = b.segs, snap
	for i := range m.segs {
		m.segs[i].a, m.segs[i].b = number[m.segs[i].a], number[m.segs[i].b]
	}
	return m, m.forceAll()
}
