package geom

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"
)

// TestCrossingRounding: the crossing in rationals, rounded half up.
func TestCrossingRounding(t *testing.T) {
	rng := rand.New(rand.NewPCG(23, 24))
	met := 0
	for _, side := range []int64{4, 9, 50, 1000, 2 * MaxCoord} {
		for range 3000 {
			pt := func() Point { return Point{rng.Int64N(side+1) - side/2, rng.Int64N(side+1) - side/2} }
			a, b, c, d := pt(), pt(), pt(), pt()
			got, ok := crossing(a, b, c, d)
			if ok != SegmentsCross(a, b, c, d) {
				t.Fatalf("%v %v %v %v: crossing %v", a, b, c, d, ok)
			}
			if !ok {
				continue
			}
			met++
			u := big.NewRat(cross(c, d, a), 1)
			u.Quo(u, new(big.Rat).SetInt(new(big.Int).Sub(big.NewInt(cross(c, d, a)), big.NewInt(cross(c, d, b)))))
			want := Point{ratRound(a.X, b.X, u), ratRound(a.Y, b.Y, u)}
			if got != want {
				t.Fatalf("%v %v %v %v: %v, want %v", a, b, c, d, got, want)
			}
			if !captures(a, b, got) || !captures(c, d, got) {
				t.Fatalf("%v %v %v %v: pixel %v does not capture both", a, b, c, d, got)
			}
		}
	}
	if met < 1000 {
		t.Errorf("only %d crossings", met)
	}
}

func ratRound(a, b int64, u *big.Rat) int64 {
	x := new(big.Rat).Mul(u, big.NewRat(b-a, 1))
	x.Add(x, big.NewRat(a, 1))
	x.Add(x, big.NewRat(1, 2))
	return new(big.Int).Div(x.Num(), x.Denom()).Int64() // Euclidean: floor for positive divisors
}

// TestCaptures against a walk: a segment meets the half-open pixel if, clipped
// exactly to the closed square, it holds a point off the right and top sides.
func TestCaptures(t *testing.T) {
	for dx := int64(-5); dx <= 5; dx++ {
		for dy := int64(-5); dy <= 5; dy++ {
			if dx == 0 && dy == 0 {
				continue // edges have a length
			}
			for x := int64(-6); x <= 6; x++ {
				for y := int64(-6); y <= 6; y++ {
					got := captures(Point{}, Point{dx, dy}, Point{x, y})
					if want := capturesSlow(dx, dy, x, y); got != want {
						t.Fatalf("(0,0)-(%d,%d) and pixel (%d,%d): %v, want %v", dx, dy, x, y, got, want)
					}
				}
			}
		}
	}
}

// capturesSlow tries all places k/5040 of the way and half way between: for
// steps up to 5, all entries and exits of pixels are among the first (5040 is
// a multiple of twice every step).
func capturesSlow(dx, dy, x, y int64) bool {
	for k := int64(0); k <= 5040; k++ {
		px, py := 2*(k*dx-5040*x), 2*(k*dy-5040*y)
		if px >= -5040 && px < 5040 && py >= -5040 && py < 5040 {
			return true
		}
	}
	return false
}

func TestSegmentPredicates(t *testing.T) {
	p := func(x, y int64) Point { return Point{x, y} }
	for _, c := range []struct {
		name         string
		a, b, c, d   Point
		cross, touch bool
		dist         float64
	}{
		{"cross", p(0, 0), p(10, 10), p(0, 10), p(10, 0), true, true, 0},
		{"tee", p(0, 0), p(10, 0), p(5, 0), p(5, 5), false, true, 0},
		{"shared end", p(0, 0), p(10, 0), p(10, 0), p(15, 5), false, true, 0},
		{"overlapping", p(0, 0), p(10, 0), p(5, 0), p(20, 0), false, true, 0},
		{"in line, apart", p(0, 0), p(10, 0), p(13, 0), p(20, 0), false, false, 3},
		{"parallel", p(0, 0), p(10, 0), p(2, 4), p(8, 4), false, false, 4},
		{"end to end", p(0, 0), p(10, 0), p(13, 4), p(20, 9), false, false, 5},
		{"both points", p(0, 0), p(0, 0), p(3, 4), p(3, 4), false, false, 5},
		{"far", p(-MaxCoord, -MaxCoord), p(MaxCoord, MaxCoord), p(-MaxCoord, MaxCoord), p(MaxCoord, -MaxCoord),
			true, true, 0},
	} {
		if got := SegmentsCross(c.a, c.b, c.c, c.d); got != c.cross {
			t.Errorf("%s: cross %v", c.name, got)
		}
		if got := SegmentsTouch(c.a, c.b, c.c, c.d); got != c.touch {
			t.Errorf("%s: touch %v", c.name, got)
		}
		u, v, d := Closest(Segment{c.a, c.b}, Segment{c.c, c.d})
		if math.Abs(d-c.dist) > 1e-9 || math.Abs(math.Hypot(u.X-v.X, u.Y-v.Y)-c.dist) > 1e-6 {
			t.Errorf("%s: distance %v between %v and %v, want %v", c.name, d, u, v, c.dist)
		}
	}
}
