package geom

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// TestPaintBounded: paintings whose crossings run into the millions end
// with an error that tells the place; a routed board is painted as by Paint.
func TestPaintBounded(t *testing.T) {
	coats := func(rings []Ring) (out []Coat) {
		for i, r := range rings {
			out = append(out, Coat{i%5 != 4, []Ring{r}})
		}
		return out
	}
	rng := rand.New(rand.NewPCG(31, 32))
	thin := func(a, b Point) Ring { return Ring{a, b, {b.X + 1, b.Y + 3}} }
	var star, bundle, lines []Ring
	for i := range 4000 {
		sin, cos := math.Sincos(math.Pi * float64(i) / 4000)
		x, y := int64(8e7*cos), int64(8e7*sin)
		star = append(star, thin(Point{-x, -y}, Point{x, y}))
		bundle = append(bundle, thin(Point{rng.Int64N(40), rng.Int64N(40)},
			Point{1e8 + rng.Int64N(40), 1e8 + rng.Int64N(40)}))
		lines = append(lines, thin(Point{0, rng.Int64N(1e8)}, Point{1e8, rng.Int64N(1e8)}))
	}
	far := Rectangle(Box{Point{}, Point{MaxCoord + 1, 5}})
	cases := map[string][]Coat{"far": coats([]Ring{far})}
	if !testing.Short() {
		cases["star"], cases["bundle"], cases["lines"] = coats(star), coats(bundle), coats(lines)
		cases["in one coat"] = []Coat{{true, bundle}}
	}
	for name, c := range cases {
		r, err := PaintBounded(c)
		t.Logf("%s: %v", name, err)
		if err == nil || r != nil || !strings.Contains(err.Error(), "mm") {
			t.Errorf("%s: %d polygons, error %v; want an error with a place", name, len(r), err)
		}
	}
	shapes := 3000
	if testing.Short() {
		shapes = 500
	}
	c := coats(chainBoard(shapes, 2))
	got, err := PaintBounded(c)
	if want := Paint(c); err != nil || got.Area() != want.Area() || len(got) != len(want) ||
		got.Vertices() != want.Vertices() {
		t.Errorf("a routed board: %v, %.0f nm², painted without bound %.0f", err, got.Area(), want.Area())
	}
}

// TestManyRuns: the topmost of many runs of coats decides, and quickly: every
// second of 2,000 squares, each inside the one before, is clear.
func TestManyRuns(t *testing.T) {
	const n = 2_000
	var coats []Coat
	want := 0.0
	for i := range int64(n) {
		coats = append(coats, Coat{i%2 == 0, []Ring{square(i*10, i*10, (2*n-2*i)*10)}})
		side := float64((2*n - 2*i) * 10)
		want += side * side * float64(1-2*(i%2))
	}
	if got := Paint(coats); got.Area() != want || len(got) != n/2 {
		t.Errorf("%d frames of %.0f nm², want %d of %.0f", len(got), got.Area(), n/2, want)
	}
}
