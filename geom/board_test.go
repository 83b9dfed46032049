package geom

import (
	"math"
	"math/rand/v2"
)

// chainBoard is a routed-looking board of n shapes on 100 × 160 mm: strokes in
// 45 degree moves on a 25 um grid with shared ends, as tracks are drawn.
func chainBoard(n int, seed uint64) []Ring {
	rng := rand.New(rand.NewPCG(seed, 7))
	const grid = 25_000
	widths := []int64{150_000, 200_000, 250_000, 400_000}
	var out []Ring
	for len(out) < n {
		p := Point{rng.Int64N(4000) * grid, rng.Int64N(6400) * grid}
		w := widths[rng.IntN(len(widths))]
		dir := rng.IntN(8)
		for k := 2 + rng.IntN(8); k > 0 && len(out) < n; k-- {
			l := (4 + rng.Int64N(120)) * grid
			dx, dy := stepOf(dir)
			q := Point{max(0, min(p.X+dx*l, 4000*grid)), max(0, min(p.Y+dy*l, 6400*grid))}
			out = append(out, Stroke(p, q, w, 2000))
			p = q
			dir = (dir + rng.IntN(3) + 7) % 8
		}
		if len(out) < n {
			out = append(out, Circle(p, 300_000+rng.Int64N(8)*25_000, 2000))
		}
	}
	return out
}

func stepOf(dir int) (dx, dy int64) {
	sx := []int64{1, 1, 0, -1, -1, -1, 0, 1}
	sy := []int64{0, 1, 1, 1, 0, -1, -1, -1}
	return sx[dir], sy[dir]
}

// randomBoard is n strokes at any angle and 30 % rounded pads.
func randomBoard(n int, seed uint64) []Ring {
	rng := rand.New(rand.NewPCG(seed, 8))
	var out []Ring
	for range n {
		p := Point{rng.Int64N(100_000_000), rng.Int64N(160_000_000)}
		if rng.IntN(10) < 3 {
			q := Point{p.X + rng.Int64N(1_000_000), p.Y}
			out = append(out, Stroke(p, q, 300_000+rng.Int64N(900_000), 2000))
			continue
		}
		l, a := 500_000+rng.Float64()*6e6, rng.Float64()*2*math.Pi
		q := Point{p.X + int64(l*math.Cos(a)), p.Y + int64(l*math.Sin(a))}
		out = append(out, Stroke(p, q, 100_000+rng.Int64N(300_000), 2000))
	}
	return out
}

// squeeze maps rings on 100 × 160 mm into a box of the given side.
func squeeze(rings []Ring, side int64) []Ring {
	out := make([]Ring, len(rings))
	for i, r := range rings {
		out[i] = r.Scale(Point{}, float64(side)/160e6)
	}
	return out
}
