package mesh

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"ohmward/geom"
)

// artwork is the copper of one draw of an ugly kind: the rings that run
// counter-clockwise united, less those that run clockwise.
func artwork(kind int, seed uint64, little bool) geom.Region {
	var dark, clear []geom.Ring
	for _, r := range uglies[kind].draw(hand{rand.New(rand.NewPCG(seed, uint64(kind))), little}) {
		if r.Area() < 0 {
			clear = append(clear, r.Reverse())
		} else {
			dark = append(dark, r)
		}
	}
	return geom.Difference(geom.Fill(dark, geom.NonZero), geom.Fill(clear, geom.NonZero))
}

// TestUglyArtwork meshes several draws of every ugly kind, as drawn, as the
// program simplifies it, and with a contact's rim across it.
func TestUglyArtwork(t *testing.T) {
	for kind, u := range uglies {
		t.Run(u.name, func(t *testing.T) {
			draws := uint64(6)
			switch {
			case u.name == "thousands of holes" || testing.Short():
				draws = 1
			}
			drawn, solved := sweep{t: t}, sweep{t: t, in: Input{Simplify: 1000, MaxEdge: 2_500_000, Grading: 0.5}}
			for seed := range draws {
				where := fmt.Sprintf("draw %d", seed)
				r := artwork(kind, seed, false)
				if len(r) == 0 {
					t.Fatal("no copper was drawn")
				}
				drawn.region(where, r)
				solved.region(where, r)
				for _, in := range []Input{
					{Region: r, Simplify: 20_000},
					{Region: r, MinEdge: 20_000, MinAngle: 30},
					{Region: r, Simplify: 1000, MaxEdge: 2_500_000, Curves: rimsOn(r, seed)},
				} {
					m, err := Triangulate(in)
					if err != nil {
						t.Fatalf("%s: %v", where, err)
					}
					checkMesh(t, in, m)
				}
			}
			drawn.report("as drawn")
			solved.report("as solved")
		})
	}
}

// rimsOn gives contacts' rims that stand on some of the outline's points.
func rimsOn(r geom.Region, seed uint64) (curves [][]geom.Point) {
	rng := rand.New(rand.NewPCG(seed, 99))
	for range 5 {
		outer := r[rng.IntN(len(r))].Outer
		at := outer[rng.IntN(len(outer))]
		curves = append(curves, closedChain(circle(at.X, at.Y, 150*um, 24)))
	}
	return curves
}

// FuzzArtwork lays draws of two ugly kinds over one another, shifted, and
// meshes what comes of it.
func FuzzArtwork(f *testing.F) {
	for seed := range uint64(24) {
		f.Add(seed, int64(seed)*1237, int64(seed)*101)
	}
	f.Fuzz(func(t *testing.T, seed uint64, dx, dy int64) {
		rng := rand.New(rand.NewPCG(seed, 3))
		a, b := artwork(rng.IntN(len(uglies)), seed, true), artwork(rng.IntN(len(uglies)), seed+1, true)
		shift := geom.Point{X: dx % (5 * mm), Y: dy % (5 * mm)}
		b.Rings(func(r geom.Ring) {
			for i := range r {
				r[i].X += shift.X
				r[i].Y += shift.Y
			}
		})
		r := geom.Union(a, b)
		if rng.IntN(3) == 0 {
			r = geom.Difference(a, b)
		}
		if len(r) == 0 {
			return
		}
		s := sweep{t: t}
		s.region("as drawn", r)
		in := Input{Region: r, Simplify: []int64{0, 1000, 5000}[rng.IntN(3)], Curves: rimsOn(r, seed),
			MaxVertices: 1_000_000}
		m, err := Triangulate(in)
		if err != nil {
			t.Fatal(err)
		}
		checkMesh(t, in, m)
	})
}

// TestRawRings meshes outlines that come with their flaws, not united first:
// touching themselves in points, running to a hole and back on one track. What
// crosses itself is refused in one line, and nothing panics.
func TestRawRings(t *testing.T) {
	for kind, u := range uglies {
		refused := 0
		for seed := range uint64(8) {
			var region geom.Region
			for _, r := range u.draw(hand{rand.New(rand.NewPCG(seed, uint64(kind))), false}) {
				if r.Area() > 0 {
					region = append(region, geom.Polygon{Outer: r})
				}
			}
			in := Input{Region: region}
			m, err := Triangulate(in)
			if err != nil {
				if refused++; len(err.Error()) > 200 || err.Error() == "" {
					t.Errorf("%s: %v", u.name, err)
				}
				continue
			}
			checkTriangles(t, in, m)
		}
		clean := u.name == "outline that touches itself" || u.name == "outline that runs back on itself"
		if clean && refused > 0 {
			t.Errorf("%s: %d of 8 are refused", u.name, refused)
		}
	}
}
