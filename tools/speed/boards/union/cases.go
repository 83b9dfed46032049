package main

import (
	"math"
	"math/rand/v2"

	"ohmward/geom"
)

const chord = 2000 // nm: arcs as in the cases measured before

// chain is a routed-looking board of n shapes on 100 × 160 mm: strokes in 45
// degree moves on a 25 um grid with shared ends, as tracks are drawn.
func chain(n int, seed uint64) (out []geom.Ring) {
	rng := rand.New(rand.NewPCG(seed, 7))
	const grid = 25_000
	widths := []int64{150_000, 200_000, 250_000, 400_000}
	x, y := [8]int64{1, 1, 0, -1, -1, -1, 0, 1}, [8]int64{0, 1, 1, 1, 0, -1, -1, -1}
	for len(out) < n {
		p := geom.Point{X: rng.Int64N(4000) * grid, Y: rng.Int64N(6400) * grid}
		w := widths[rng.IntN(len(widths))]
		dir := rng.IntN(8)
		for k := 2 + rng.IntN(8); k > 0 && len(out) < n; k-- {
			l := (4 + rng.Int64N(120)) * grid
			q := geom.Point{X: max(0, min(p.X+x[dir]*l, 4000*grid)), Y: max(0, min(p.Y+y[dir]*l, 6400*grid))}
			out = append(out, geom.Stroke(p, q, w, chord))
			p = q
			dir = (dir + rng.IntN(3) + 7) % 8
		}
		if len(out) < n {
			out = append(out, geom.Circle(p, 300_000+rng.Int64N(8)*25_000, chord))
		}
	}
	return out
}

// random is n strokes at any angle and 30 % rounded pads.
func random(n int, seed uint64) (out []geom.Ring) {
	rng := rand.New(rand.NewPCG(seed, 8))
	for range n {
		p := geom.Point{X: rng.Int64N(100_000_000), Y: rng.Int64N(160_000_000)}
		if rng.IntN(10) < 3 {
			q := geom.Point{X: p.X + rng.Int64N(1_000_000), Y: p.Y}
			out = append(out, geom.Stroke(p, q, 300_000+rng.Int64N(900_000), chord))
			continue
		}
		l, a := 500_000+rng.Float64()*6e6, rng.Float64()*2*math.Pi
		q := geom.Point{X: p.X + int64(l*math.Cos(a)), Y: p.Y + int64(l*math.Sin(a))}
		out = append(out, geom.Stroke(p, q, 100_000+rng.Int64N(300_000), chord))
	}
	return out
}
