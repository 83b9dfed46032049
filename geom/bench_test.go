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

// BenchmarkPaint: 50,000 dark coats, and 400 runs of alternating polarity.
func BenchmarkPaint(b *testing.B) {
	b.Run("dark/n=50000", func(b *testing.B) {
		var coats []Coat
		for _, r := range chainBoard(50_000, 1) {
			coats = append(coats, Coat{true, []Ring{r}})
		}
		for b.Loop() {
			Paint(coats)
		}
	})
	b.Run("alternating/n=400x25", func(b *testing.B) {
		var coats []Coat
		for i, r := range chainBoard(10_000, 1) {
			coats = append(coats, Coat{i/25%2 == 0, []Ring{r}})
		}
		for b.Loop() {
			Paint(coats)
		}
	})
}

func BenchmarkFillOne(b *testing.B) {
	r := []Ring{Stroke(Point{}, Point{1_000_000, 300_000}, 250_000, 2000)}
	b.ReportAllocs()
	for b.Loop() {
		Fill(r, NonZero)
	}
}

func BenchmarkLocate(b *testing.B) {
	r := Fill(chainBoard(10_000, 1), NonZero)
	l := NewLocator(r)
	i := int64(0)
	for b.Loop() {
		l.Locate(Point{i * 7919 % 100_000_000, i * 104_729 % 160_000_000})
		i++
	}
	b.ReportMetric(float64(r.Vertices()), "vertices")
}

func BenchmarkOffset(b *testing.B) {
	r := Fill(chainBoard(10_000, 1), NonZero)
	for b.Loop() {
		Offset(r, 100_000, 2000)
	}
}
