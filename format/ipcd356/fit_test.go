package ipcd356

import (
	"math/rand/v2"
	"testing"

	"ohmward/geom"
)

// made is a board of n random pads, its netlist rounded to 2.54 um and moved,
// and a share of either without a counterpart.
func made(n int, m Move, astray float64, seed uint64) (records []Record, points []geom.Point) {
	rng := rand.New(rand.NewPCG(seed, 1))
	place := func() geom.Point {
		return geom.Point{X: rng.Int64N(2000) * 50_000, Y: rng.Int64N(1600) * 50_000} // a grid of 0.05 mm
	}
	for range n {
		p := place()
		if rng.Float64() >= astray {
			points = append(points, m.Apply(p))
		} else {
			points = append(points, m.Apply(place()))
		}
		p.X, p.Y = (p.X+1270)/2540*2540, (p.Y+1270)/2540*2540
		records = append(records, Record{At: p})
	}
	rng.Shuffle(n, func(i, j int) { points[i], points[j] = points[j], points[i] })
	return records, points
}

func TestFit(t *testing.T) {
	for name, c := range map[string]struct {
		n      int
		move   Move
		astray float64
	}{
		"as it is":         {50, Move{}, 0},
		"moved":            {300, Move{Offset: geom.Point{X: 100_000_000, Y: -100_000_000}}, 0},
		"odd offset":       {300, Move{Offset: geom.Point{X: 12_345_678, Y: -98_765_432}}, 0.1},
		"a third astray":   {300, Move{Offset: geom.Point{X: -50_000, Y: 7_000_000}}, 0.35},
		"mirrored in x":    {300, Move{MirrorX: true, Offset: geom.Point{X: 31_000_000}}, 0.1},
		"y down":           {300, Move{MirrorY: true, Offset: geom.Point{X: 1, Y: 80_000_000}}, 0.1},
		"turned by half":   {300, Move{MirrorX: true, MirrorY: true}, 0},
		"three places":     {3, Move{Offset: geom.Point{X: 5_000_000, Y: 5_000_000}}, 0},
		"a crowded board":  {20_000, Move{Offset: geom.Point{X: 150_000_000, Y: 25_000}}, 0.2},
		"on a vote's edge": {300, Move{Offset: geom.Point{X: 3 * voteReach, Y: -2 * voteReach}}, 0},
	} {
		if testing.Short() && c.n > 1000 {
			continue
		}
		records, points := made(c.n, c.move, c.astray, 7)
		got, ok := Fit(records, points)
		t.Logf("%s: share %.3f", name, got.Share())
		dx, dy := got.Offset.X-c.move.Offset.X, got.Offset.Y-c.move.Offset.Y
		if !ok || got.MirrorX != c.move.MirrorX || got.MirrorY != c.move.MirrorY || max(dx, -dx, dy, -dy) > 1500 || got.Share() < 1-c.astray-0.08 {
			t.Errorf("%s: got %+v, want %+v", name, got, c.move)
		}
	}
}

func TestFitNothing(t *testing.T) {
	if _, ok := Fit(nil, []geom.Point{{}}); ok {
		t.Error("a fit without records")
	}
	if _, ok := Fit([]Record{{}}, nil); ok {
		t.Error("a fit without points")
	}
}

// Two boards that have nothing to do with each other must not seem to fit.
func TestFitOfAnotherBoard(t *testing.T) {
	records, _ := made(400, Move{}, 0, 1)
	_, points := made(400, Move{}, 0, 2)
	if got, _ := Fit(records, points); got.Share() > 0.3 {
		t.Errorf("share %.2f between boards of other seeds", got.Share())
	}
}

// The order of the lists changes nothing.
func TestFitOrder(t *testing.T) {
	records, points := made(500, Move{Offset: geom.Point{X: 9_000_000, Y: 1_234_567}}, 0.2, 3)
	want, _ := Fit(records, points)
	rng := rand.New(rand.NewPCG(5, 5))
	rng.Shuffle(len(records), func(i, j int) { records[i], records[j] = records[j], records[i] })
	rng.Shuffle(len(points), func(i, j int) { points[i], points[j] = points[j], points[i] })
	if got, _ := Fit(records, points); got != want {
		t.Errorf("got %+v, before shuffling %+v", got, want)
	}
}

func BenchmarkFit(b *testing.B) {
	records, points := made(20_000, Move{Offset: geom.Point{X: 150_000_000}}, 0.2, 7)
	for b.Loop() {
		Fit(records, points)
	}
}
