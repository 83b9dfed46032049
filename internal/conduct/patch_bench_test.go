package conduct

import (
	"context"
	"testing"

	"ohmward/internal/mesh"
)

// BenchmarkPatch refines one contact on the mesh that suspects get.
func BenchmarkPatch(b *testing.B) {
	for _, h := range hardFamily(1, 6) {
		b.Run(h.name, func(b *testing.B) {
			g, discs := h.problem()
			at := SheetSize{Size: mesh.Size{At: discs[1].At, Radius: 150_000, Edge: 150_000}}
			m, err := Build(context.Background(), g, Options{Sizes: []SheetSize{at}})
			if err != nil {
				b.Fatal(err)
			}
			var p *patch
			for b.Loop() {
				p = m.newPatch(0, discs[1:])
			}
			b.ReportMetric(float64(len(p.ports)), "ports")
			b.ReportMetric(float64(len(p.fine.x)), "nodes")
		})
	}
}
