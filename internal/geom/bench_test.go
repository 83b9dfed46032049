package geom

import (
	"fmt"
	"testing"
)

func BenchmarkFill(b *testing.B) {
	for _, kind := range []struct {
		name string
		make func(n int, seed uint64) []Ring
	}{{"chain", chainBoard}, {"random", randomBoard}} {
		for _, n := range []int{1_000, 10_000, 50_000} {
			b.Run(fmt.Sprintf("%s/n=%d", kind.name, n), func(b *testing.B) {
				rings := kind.make(n, 1)
				v := 0
				for _, r := range rings {
					v += len(r)
				}
				b.ReportAllocs()
				for b.Loop() {
					Fill(rings, NonZero)
				}
				b.ReportMetric(float64(v), "vertices")
			})
		}
	}
}
