package mesh

import (
	"testing"

	"ohmward/geom"
)

// TestSimplifyCrowded simplifies outlines that lie nearer to one another than
// they may move: nothing may touch or change places.
func TestSimplifyCrowded(t *testing.T) {
	turned := func(r int64, n int) geom.Ring { // a circle between the corners of the other
		c := circle(0, 0, r, 2*n)
		var out geom.Ring
		for i := 1; i < len(c); i += 2 {
			out = append(out, c[i])
		}
		return out
	}
	for _, c := range []struct {
		name   string
		region geom.Region
	}{
		{"round slit of 1 um", geom.Region{
			{Outer: rect(-2*mm, -2*mm, 2*mm, 2*mm), Holes: []geom.Ring{reversed(circle(0, 0, mm, 160))}},
			{Outer: turned(mm-um, 160)}}},
		{"round neck of 1 um", one(circle(0, 0, mm, 160), reversed(turned(mm-um, 160)))},
		{"small holes along a circle", one(circle(0, 0, mm, 100),
			reversed(circle(999*um+200, 0, 100, 8)), reversed(circle(0, 999*um+100, 200, 8)),
			reversed(circle(-998*um, 2*um, 300, 8)))},
		{"small islands outside", geom.Region{{Outer: circle(0, 0, mm, 100)},
			{Outer: circle(mm+um, 31*um, 300, 8)}, {Outer: circle(0, mm+um, 200, 8)}}},
	} {
		for _, tol := range []int64{500, 2000, 10_000} {
			got, _ := simplify(c.region, nil, tol)
			if was, is := countPoints(c.region), countPoints(got); is > was || tol >= 2000 && is == was {
				t.Errorf("%s, %d nm: %d points of %d left", c.name, tol, is, was)
			}
			var edges []geom.Segment
			for _, p := range got {
				for _, r := range append([]geom.Ring{p.Outer}, p.Holes...) {
					for i := range r {
						edges = append(edges, geom.Segment{A: r[i], B: r[(i+1)%len(r)]})
					}
				}
			}
			for i, e := range edges {
				for _, f := range edges[:i] {
					joined := e.A == f.B || f.A == e.B
					if !joined && geom.SegmentsTouch(e.A, e.B, f.A, f.B) {
						t.Fatalf("%s, %d nm: edges %v and %v touch", c.name, tol, e, f)
					}
				}
			}
			in := Input{Region: c.region, Simplify: tol}
			m := mustMesh(t, in)
			checkMesh(t, in, m)
			pieces := map[int32]bool{}
			for _, p := range m.Polygon {
				pieces[p] = true
			}
			if len(pieces) != len(c.region) {
				t.Errorf("%s, %d nm: %d pieces, want %d", c.name, tol, len(pieces), len(c.region))
			}
		}
	}
}

func countPoints(r geom.Region) int {
	n := 0
	for _, p := range r {
		n += len(p.Outer)
		for _, h := range p.Holes {
			n += len(h)
		}
	}
	return n
}
