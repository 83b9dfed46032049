package mesh

import (
	"math/rand/v2"
	"testing"

	"ohmward/geom"
)

// randomInput draws a few rings on a small lattice, spread by a scale and
// shaken by a few nanometres, cleans them by geom.Fill and adds curves.
func randomInput(seed uint64) Input {
	rng := rand.New(rand.NewPCG(seed, 7))
	scale := []int64{1, 7, 1000, 100_003, 10_000_000}[rng.IntN(5)]
	lattice := []int64{4, 12, 60}[rng.IntN(3)]
	shake := []int64{0, 1, 3}[rng.IntN(3)]
	at := func() geom.Point {
		return geom.Point{
			X: (rng.Int64N(lattice)-lattice/2)*scale + rng.Int64N(shake+1),
			Y: (rng.Int64N(lattice)-lattice/2)*scale + rng.Int64N(shake+1),
		}
	}
	var rings []geom.Ring
	for range 1 + rng.IntN(5) {
		r := make(geom.Ring, 3+rng.IntN(9))
		for i := range r {
			r[i] = at()
		}
		rings = append(rings, r)
	}
	in := Input{Region: geom.Fill(rings, []geom.Rule{geom.NonZero, geom.EvenOdd}[rng.IntN(2)])}
	for range rng.IntN(3) {
		c := make([]geom.Point, 1+rng.IntN(6))
		for i := range c {
			c[i] = at()
		}
		in.Curves = append(in.Curves, c)
	}
	if rng.IntN(3) == 0 {
		in.Simplify = 1 + rng.Int64N(scale*2)
	}
	if rng.IntN(2) == 0 {
		in.MaxEdge = 1 + scale*(2+rng.Int64N(40))
	}
	for range rng.IntN(4) {
		in.Sizes = append(in.Sizes, Size{At: at(), Radius: rng.Int64N(scale * 3), Edge: 1 + rng.Int64N(scale*4)})
	}
	in.MinAngle = []float64{0, 10, 30, 33}[rng.IntN(4)]
	in.MinEdge = max(scale/8, 1)
	in.MaxVertices = 300_000
	return in
}

func FuzzTriangulate(f *testing.F) {
	for seed := range uint64(400) {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, seed uint64) {
		in := randomInput(seed)
		m, err := Triangulate(in)
		if err != nil {
			t.Fatal(err)
		}
		checkMesh(t, in, m)
		again, err := Triangulate(in)
		if err != nil || len(again.Triangle) != len(m.Triangle) {
			t.Fatalf("second run differs: %v", err)
		}
		for i, v := range m.Triangle {
			if again.Triangle[i] != v || again.X[v[0]] != m.X[v[0]] {
				t.Fatalf("second run differs in triangle %d", i)
			}
		}
		r, err := readRules(in)
		if err != nil {
			t.Fatal(err)
		}
		inner, err := refined(in.Region, in.Curves, r)
		if err != nil {
			t.Fatal(err)
		}
		checkTin(t, inner)
	})
}
