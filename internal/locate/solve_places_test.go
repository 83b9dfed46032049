package locate

import (
	"math"
	"math/rand/v2"
	"testing"

	"ohmward/geom"
	"ohmward/internal/suspect"
)

// TestWithin counts points along the stretch that a sample stands for.
func TestWithin(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 14))
	for range 200 {
		turn := 2 * math.Pi * rng.Float64()
		sin, cos := math.Sincos(turn)
		length := 0.05 + rng.Float64()
		var sites []suspect.Site
		for i := range 3 {
			q := geom.FromMM(10+float64(i-1)*length*cos, 10+float64(i-1)*length*sin)
			sites = append(sites, suspect.Site{A: q, B: q, Length: length * 1e-3, Prior: 1})
		}
		p := &Posterior{Case: Case{Sites: sites}, index: NewSiteIndex(sites)}
		x, y := 10+2*rng.Float64()-1, 10+2*rng.Float64()-1
		mm := 2 * rng.Float64()
		inside := 0
		const n = 20000
		for i := range n {
			u := length * ((float64(i)+0.5)/n - 0.5)
			if math.Hypot(10+u*cos-x, 10+u*sin-y) <= mm {
				inside++
			}
		}
		near(t, "share inside", p.within(1, p.index.x[1]-x, p.index.y[1]-y, mm), float64(inside)/n, 2e-3)
	}
}
