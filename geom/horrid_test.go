package geom

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestHorrid: inputs that defeat plain grids finish and stay valid.
func TestHorrid(t *testing.T) {
	rng := rand.New(rand.NewPCG(31, 32))
	less := 1
	if testing.Short() {
		less = 10
	}
	thin := func(a, b Point) Ring { return Ring{a, b, {b.X + 1, b.Y + 3}} }
	cases := map[string]func() []Ring{
		"star of 150 needles": func() (out []Ring) {
			for i := range 150 {
				sin, cos := math.Sincos(math.Pi * float64(i) / 150)
				x, y := int64(8e7*cos), int64(8e7*sin)
				out = append(out, thin(Point{-x, -y}, Point{x, y}))
			}
			return out
		},
		"bundle of 60 long needles": func() (out []Ring) {
			for range 60 {
				out = append(out, thin(Point{rng.Int64N(40), rng.Int64N(40)},
					Point{100_000_000 + rng.Int64N(40), 100_000_000 + rng.Int64N(40)}))
			}
			return out
		},
		"long lines at random": func() []Ring { return randomRings(rng, 200/less, 1, 100_000_000) },
		"one crowded spot and two far marks": func() []Ring {
			return append(squeeze(chainBoard(2000/less, 4), 3_000_000), square(-MaxCoord, -MaxCoord, 9),
				square(MaxCoord-9, MaxCoord-9, 9))
		},
		"one pad flashed again and again": func() (out []Ring) {
			for range 20_000 / less {
				out = append(out, Circle(Point{5, 5}, 500_000, 2000))
			}
			return out
		},
		"concentric squares": func() (out []Ring) {
			for i := range int64(3000 / less) {
				out = append(out, square(-i*10, -i*10, 20*i))
			}
			return out
		},
		"one ring of random steps": func() []Ring {
			var r Ring
			p := Point{}
			for range 50_000 / less {
				p = Point{p.X + rng.Int64N(2001) - 1000, p.Y + rng.Int64N(2001) - 1000}
				r = append(r, p)
			}
			return []Ring{r}
		},
		"beyond the bounds": func() []Ring {
			return []Ring{{{math.MinInt64, math.MinInt64}, {math.MaxInt64, math.MinInt64},
				{math.MaxInt64, math.MaxInt64}}}
		},
	}
	for name, make := range cases {
		rings := make()
		r := Fill(rings, EvenOdd)
		t.Logf("%s: %d polygons, %d vertices", name, len(r), r.Vertices())
		if err := checkClean(r); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if again := Union(r); len(again) != len(r) || again.Area() != r.Area() || again.Vertices() != r.Vertices() {
			t.Errorf("%s: union with nothing changes the result", name)
		}
	}
}
