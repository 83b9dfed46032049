package main

import (
	"fmt"
	"testing"

	"ohmward/internal/sparse"
)

// BenchmarkSolver tells times and, free of the machine, the sizes of the
// factor on both shapes.
func BenchmarkSolver(b *testing.B) {
	for _, shape := range []string{"squares", "planes"} {
		for _, n := range []int{50_000, 200_000, 500_000, 800_000} {
			p, err := shapes[shape](n)
			if err != nil {
				b.Fatal(err)
			}
			name := fmt.Sprintf("%s/n=%d", shape, p.m.N)
			var s *sparse.Symbolic
			b.Run(name+"/analyse", func(b *testing.B) {
				for b.Loop() {
					if s, err = sparse.Analyse(p.m, sparse.Dissect(p.m, p.x, p.y)); err != nil {
						b.Fatal(err)
					}
				}
				b.ReportMetric(float64(s.NNZ()), "nnz")
				b.ReportMetric(s.Flops(), "flop")
				b.ReportMetric(float64(s.MemoryBytes()), "factor-B")
			})
			if s == nil {
				continue // not asked for
			}
			var f *sparse.Factor
			b.Run(name+"/factor", func(b *testing.B) {
				for b.Loop() {
					if f, err = s.Factor(p.m); err != nil {
						b.Fatal(err)
					}
				}
			})
			if f == nil {
				continue
			}
			b.Run(name+"/solve32", func(b *testing.B) {
				columns := rightSides(p.m.N)
				for b.Loop() {
					f.SolveMany(columns)
				}
			})
		}
	}
}
