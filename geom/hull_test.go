package geom

import (
	"math/rand/v2"
	"slices"
	"testing"
)

// A hull turns left at every corner, its corners are points, and it holds all
// of them.
func TestHull(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for round := range 200 {
		var points []Point
		for range 3 + rng.IntN(30) {
			points = append(points, Point{rng.Int64N(12), rng.Int64N(12)})
		}
		all := slices.Clone(points)
		hull := Hull(points)
		if len(hull) < 3 {
			continue // all on one line or place
		}
		for i, p := range hull {
			q, r := hull[(i+1)%len(hull)], hull[(i+2)%len(hull)]
			if Orient(p, q, r) <= 0 {
				t.Fatalf("round %d: no left turn at %v of %v", round, q, hull)
			}
			if !slices.Contains(all, p) {
				t.Fatalf("round %d: %v is none of %v", round, p, all)
			}
			for _, at := range all {
				if Orient(p, q, at) < 0 {
					t.Fatalf("round %d: %v lies outside %v", round, at, hull)
				}
			}
		}
	}
	if got := Hull([]Point{{1, 1}, {0, 0}, {1, 1}}); !slices.Equal(got, Ring{{0, 0}, {1, 1}}) {
		t.Errorf("two points give %v", got)
	}
}
