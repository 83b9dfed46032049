package sparse

import (
	"math"
	"math/rand/v2"
	"testing"
)

const seed = 20

func source() *rand.Rand { return rand.New(rand.NewPCG(seed, 1)) }

// families are graphs of the kinds the package is for, smaller in short runs.
func families() map[string]*laplacian {
	rng := source()
	side := 60
	if testing.Short() {
		side = 36
	}
	all := map[string]*laplacian{
		"one node":        grid(1, 1),
		"two nodes":       grid(2, 1),
		"line":            grid(500, 1),
		"grid":            grid(40, 60),
		"mesh":            jittered(side*3/2, rng),
		"edge elements":   edges(side, rng),
		"layers and hubs": layered(3, side*5/6, side*5/12, 6, rng),
		"star":            star(3000),
		"complete":        complete(150),
		"one place":       onePlace(grid(60, 60)),
	}
	if !testing.Short() {
		all["large grid"], all["large mesh"] = grid(180, 170), jittered(160, rng)
	}
	return all
}

func star(n int) *laplacian {
	l := &laplacian{}
	hub := l.node(0, 0)
	for i := range n {
		a := 2 * math.Pi * float64(i) / float64(n)
		l.edge(l.node(math.Cos(a), math.Sin(a)), hub, 1+a)
	}
	return l
}

func complete(n int) *laplacian {
	l := &laplacian{}
	for i := range n {
		l.node(float64(i%7), float64(i%11))
		for j := range i {
			l.edge(i, j, 1)
		}
	}
	return l
}

// onePlace takes the coordinates away.
func onePlace(l *laplacian) *laplacian {
	clear(l.x)
	clear(l.y)
	return l
}

func random(n int, rng *rand.Rand) []float64 {
	x := make([]float64, n)
	for i := range x {
		x[i] = rng.NormFloat64()
	}
	return x
}
