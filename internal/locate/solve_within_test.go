package locate

import (
	"math"
	"math/rand/v2"
	"testing"

	"ohmward/geom"
	"ohmward/internal/suspect"
)

// massesAt is a posterior over points, in millimetres, with masses of their own.
func massesAt(points [][2]float64, length float64, masses ...float64) *Posterior {
	c := Case{}
	for i, q := range points {
		at := geom.FromMM(q[0], q[1])
		c.Sites = append(c.Sites, suspect.Site{A: at, B: at, Length: length, Cluster: i, Prior: masses[i]})
	}
	return &Posterior{Case: c, P: masses, index: c.siteIndex()}
}

// TestMassWithin: two heaps of 0.4 and 0.35, 10 mm apart, one of them of two
// samples 1 mm apart, and 0.1 at no listed place.
func TestMassWithin(t *testing.T) {
	p := massesAt([][2]float64{{0, 0}, {1, 0}, {10, 0}, {50, 0}}, 0, 0.2, 0.2, 0.35, 0.15)
	radii := []float64{0, 0.5, 1, 5, 9, 50}
	want := []float64{0.35, 0.35, 0.4, 0.4, 0.75, 0.9}
	for k, got := range p.MassWithin(radii) {
		if math.Abs(got-want[k]-0.1) > 1e-9 {
			t.Errorf("within %g mm: %.3f, want %.3f", radii[k], got, want[k]+0.1)
		}
	}
	if x, y := p.Mean(); math.Abs(x-(0.2+3.5+7.5)/0.9) > 1e-9 || y != 0 {
		t.Errorf("mean %g, %g", x, y)
	}
	long := massesAt([][2]float64{{0, 0}}, 2e-3, 1) // a stretch of 2 mm
	for k, got := range long.MassWithin([]float64{0, 0.25, 1, 3}) {
		if want := []float64{0, 0.25, 1, 1}[k]; math.Abs(got-want) > 1e-9 {
			t.Errorf("stretch, radius %d: %.3f, want %.3f", k, got, want)
		}
	}
}

// TestNoAnswerBeatsIt: of places drawn from a posterior, no answer that names
// one of its likely places lies within any radius more often than MassWithin says.
func TestNoAnswerBeatsIt(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 13))
	for range 20 {
		n := 2 + rng.IntN(30)
		points, masses, sum := make([][2]float64, n), make([]float64, n), 0.0
		for i := range n {
			points[i] = [2]float64{20 * rng.Float64(), 20 * rng.Float64()}
			masses[i] = math.Pow(rng.Float64(), 4)
			sum += masses[i]
		}
		for i := range masses {
			masses[i] /= sum
		}
		p := massesAt(points, 0, masses...)
		radii := []float64{0, 1, 3, 8}
		most := p.MassWithin(radii)
		reached := make([]float64, len(radii))
		likely, _ := p.placed()
		for _, i := range likely { // each answer in turn
			for k, r := range radii {
				share := 0.0
				for j := range n {
					if math.Hypot(points[i][0]-points[j][0], points[i][1]-points[j][1]) <= r+1e-6 {
						share += masses[j]
					}
				}
				reached[k] = math.Max(reached[k], share)
			}
		}
		for k := range radii { // a thousandth of the mass is left out and counts in full
			if reached[k] > most[k]+1e-6 || most[k] > reached[k]+0.0011 {
				t.Errorf("within %g mm: %.4f by the best answer, said %.4f", radii[k], reached[k], most[k])
			}
		}
	}
}
