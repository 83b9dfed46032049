package mesh

import (
	"math/rand/v2"
	"testing"

	"ohmward/geom"
)

// BenchmarkBuild times the triangulation alone and with refinement on a plane
// with 5,000 antipads of 0.7 mm with a chord error of 0.25 um.
func BenchmarkBuild(b *testing.B) {
	region := antipads(71, 83)
	b.Run("coarse", func(b *testing.B) {
		n := 0
		for b.Loop() {
			m, err := construct(region, nil, 1e7, 0)
			if err != nil {
				b.Fatal(err)
			}
			n = len(m.t)
		}
		b.ReportMetric(float64(n)*float64(b.N)/b.Elapsed().Seconds(), "triangles/s")
		b.ReportMetric(float64(n), "triangles")
	})
	for _, c := range []struct {
		name     string
		simplify int64
	}{{"refined", 0}, {"simplified", 1500}} {
		b.Run(c.name, func(b *testing.B) {
			n := 0
			for b.Loop() {
				m, err := Triangulate(Input{Region: region, Simplify: c.simplify})
				if err != nil {
					b.Fatal(err)
				}
				n = len(m.Triangle)
			}
			b.ReportMetric(float64(n)*float64(b.N)/b.Elapsed().Seconds(), "triangles/s")
			b.ReportMetric(float64(n), "triangles")
		})
	}
}

// BenchmarkSizes asks for 10,000 sizes on an open plane.
func BenchmarkSizes(b *testing.B) {
	in := Input{Region: one(rect(0, 0, 100*mm, 100*mm)), MaxEdge: 5 * mm}
	rng := rand.New(rand.NewPCG(3, 4))
	for range 10_000 {
		at := geom.Point{X: rng.Int64N(100 * mm), Y: rng.Int64N(100 * mm)}
		in.Sizes = append(in.Sizes, Size{At: at, Radius: 200 * um, Edge: 200 * um})
	}
	n := 0
	for b.Loop() {
		m, err := Triangulate(in)
		if err != nil {
			b.Fatal(err)
		}
		n = len(m.Triangle)
	}
	b.ReportMetric(float64(n)*float64(b.N)/b.Elapsed().Seconds(), "triangles/s")
	b.ReportMetric(float64(n), "triangles")
}
