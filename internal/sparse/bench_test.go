package sparse

import (
	"fmt"
	"testing"
)

// benchmarkSides are the sides of jittered squares of about 50, 200 and 500
// thousand unknowns.
var benchmarkSides = []int{224, 447, 707}

func forSizes(b *testing.B, f func(b *testing.B, l *laplacian, m *Matrix)) {
	for _, side := range benchmarkSides {
		l := jittered(side, source())
		m := l.matrix(1)
		b.Run(fmt.Sprintf("n=%d", l.n), func(b *testing.B) { f(b, l, m) })
	}
}

func BenchmarkDissect(b *testing.B) {
	forSizes(b, func(b *testing.B, l *laplacian, m *Matrix) {
		for b.Loop() {
			Dissect(m, l.x, l.y)
		}
	})
}

func BenchmarkAnalyse(b *testing.B) {
	forSizes(b, func(b *testing.B, l *laplacian, m *Matrix) {
		o := Dissect(m, l.x, l.y)
		for b.Loop() {
			if _, err := Analyse(m, o); err != nil {
				b.Fatal(err)
			}
		}
	})
}

func BenchmarkFactor(b *testing.B) {
	forSizes(b, func(b *testing.B, l *laplacian, m *Matrix) {
		s, err := Analyse(m, Dissect(m, l.x, l.y))
		if err != nil {
			b.Fatal(err)
		}
		for b.Loop() {
			if _, err := s.Factor(m); err != nil {
				b.Fatal(err)
			}
		}
		b.ReportMetric(float64(s.NNZ())/1e6, "Mnnz")
		b.ReportMetric(s.Flops()/1e9, "Gflop")
		b.ReportMetric(float64(s.MemoryBytes())/1e6, "MB")
		b.ReportMetric(s.Flops()*float64(b.N)/b.Elapsed().Seconds()/1e9, "GF/s")
	})
}

func BenchmarkUse(b *testing.B) {
	forSizes(b, func(b *testing.B, l *laplacian, m *Matrix) {
		f, err := Factorise(m, l.x, l.y)
		if err != nil {
			b.Fatal(err)
		}
		rng := source()
		x := random(l.n, rng)
		cols := make([][]float64, 32)
		for c := range cols {
			cols[c] = random(l.n, rng)
		}
		pairs := make([]Vector, 3000)
		for i := range pairs {
			pairs[i] = Vector{Index: []int32{int32(rng.IntN(l.n)), int32(rng.IntN(l.n))}, Value: []float64{1, -1}}
		}
		paths := f.ForwardMany(pairs)
		b.Run("solve", func(b *testing.B) {
			for b.Loop() {
				f.Solve(x)
			}
		})
		b.Run("solve32", func(b *testing.B) {
			for b.Loop() {
				f.SolveMany(cols)
			}
		})
		b.Run("forward3000", func(b *testing.B) {
			for b.Loop() {
				f.ForwardMany(pairs)
			}
		})
		b.Run("gram300x3000", func(b *testing.B) {
			for b.Loop() {
				Gram(paths[:300], paths)
			}
		})
		b.Run("forward1", func(b *testing.B) {
			for b.Loop() {
				f.Forward(pairs[0])
			}
		})
	})
}
