package geom

import (
	"math/rand/v2"
	"testing"
)

// TestHeavyCoats: coats that are too large to be filled by themselves first,
// dark and clear, turned either way and crossing themselves, paint what the
// set operations on their fillings give.
func TestHeavyCoats(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 11))
	at := func() Point { return Point{rng.Int64N(20_000_000), rng.Int64N(20_000_000)} }
	draws := 3
	if testing.Short() {
		draws = 1
	}
	for range draws {
		var coats []Coat
		var want Region
		for i := range 7 {
			var rings []Ring
			for range 60 {
				r := Stroke(at(), at(), 100_000+rng.Int64N(200_000), 250)
				if rng.IntN(2) == 0 {
					r = r.Reverse()
				}
				if i%3 > 0 {
					rings = append(rings, r)
				}
			}
			if i%3 == 0 {
				rings = []Ring{Circle(at(), 6_000_000, 250), Circle(at(), 3_000_000, 250).Reverse()}
			}
			coats = append(coats, Coat{i%4 != 2, rings})
			if own := Fill(rings, NonZero); i%4 != 2 {
				want = Union(want, own)
			} else {
				want = Difference(want, own)
			}
		}
		if !heavyCoat(coats[1].Rings) {
			t.Fatal("the coats are not heavy enough to be runs of their own")
		}
		got := Paint(coats)
		// Snapping moves edges by nanometres: so much along all of them.
		if off := symDifference(got, want).Area(); off > 5*200*30_000_000 || want.Area() < 1e13 {
			t.Errorf("%.0f nm² differ, of %.4g", off, want.Area())
		}
	}
}
