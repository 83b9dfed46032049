package sparse

import (
	"math"
	"math/rand/v2"
	"testing"
)

// Both kernels against the formula, with odd strides and guarded borders.
func TestTilesFollowFormula(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	random := func(n int) []float64 {
		x := make([]float64, n)
		for i := range x {
			x[i] = rng.NormFloat64()
		}
		return x
	}
	for _, k := range []int{0, 1, 2, 3, 4, 7, 16, 65} {
		const sb, sc = 9, 11
		a, b, c := random(4*k), random(sb*k+8), random(sc*4)
		want := append([]float64(nil), c...)
		for r := range 4 {
			for q := range 8 {
				for p := range k {
					want[r*sc+q] -= a[4*p+r] * b[p*sb+q]
				}
			}
		}
		for _, vector := range []bool{true, false} {
			got := append([]float64(nil), c...)
			switch {
			case !vector:
				plainTile4(k, a, b, sb, got, sc)
				plainTile4(k, a, b[4:], sb, got[4:], sc)
			case k%2 == 0:
				tile8(k, a, b, b[4:], sb, got, got[4:], sc)
			default:
				tile4(k, a, b, sb, got, sc)
				tile4(k, a, b[4:], sb, got[4:], sc)
			}
			for i := range got {
				if math.Abs(got[i]-want[i]) > 1e-13*float64(k+1) {
					t.Fatalf("k %d, vector %v: entry (%d, %d) is %v, want %v", k, vector, i/sc, i%sc, got[i], want[i])
				}
			}
		}
	}
}

func BenchmarkTile8(b *testing.B) {
	const k = 64
	a, x, c := make([]float64, 4*k), make([]float64, 8*k), make([]float64, 32)
	for b.Loop() {
		tile8(k, a, x, x[4:], 8, c, c[4:], 8)
	}
	b.ReportMetric(float64(b.N)*64*k/b.Elapsed().Seconds()/1e9, "GF/s")
}

func BenchmarkPlainTile4(b *testing.B) {
	const k = 64
	a, x, c := make([]float64, 4*k), make([]float64, 4*k), make([]float64, 16)
	for b.Loop() {
		plainTile4(k, a, x, 4, c, 4)
	}
	b.ReportMetric(float64(b.N)*32*k/b.Elapsed().Seconds()/1e9, "GF/s")
}
