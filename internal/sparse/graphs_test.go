package sparse

import (
	"math"
	"math/rand/v2"
)

// laplacian is a graph of conductances with plan coordinates.
type laplacian struct {
	n        int
	from, to []int32
	g        []float64
	x, y     []float64
}

func (l *laplacian) node(x, y float64) int {
	l.x, l.y = append(l.x, x), append(l.y, y)
	l.n++
	return l.n - 1
}

func (l *laplacian) edge(i, j int, g float64) {
	l.from, l.to, l.g = append(l.from, int32(i)), append(l.to, int32(j)), append(l.g, g)
}

// matrix is the Laplacian, node 0 tied to ground by the conductance ground.
func (l *laplacian) matrix(ground float64) *Matrix {
	b := NewBuilder(l.n)
	if ground != 0 {
		b.Add(0, 0, ground)
	}
	for k, g := range l.g {
		i, j := int(l.from[k]), int(l.to[k])
		b.Add(i, i, g)
		b.Add(j, j, g)
		b.Add(i, j, -g)
	}
	return b.Build()
}

func (l *laplacian) factor() (*Matrix, *Factor, error) {
	m := l.matrix(1)
	f, err := Factorise(m, l.x, l.y)
	return m, f, err
}

// grid is a square grid of unit conductances.
func grid(nx, ny int) *laplacian {
	l := &laplacian{}
	for j := range ny {
		for i := range nx {
			v := l.node(float64(i), float64(j))
			if i > 0 {
				l.edge(v, v-1, 1)
			}
			if j > 0 {
				l.edge(v, v-nx, 1)
			}
		}
	}
	return l
}

// jittered is a triangulated square, its points moved about and each triangle
// entering by its cotangents (linear elements), its diagonals running at
// random.
func jittered(side int, rng *rand.Rand) *laplacian {
	l := &laplacian{}
	for j := range side {
		for i := range side {
			l.node(float64(i)+0.5*(rng.Float64()-0.5), float64(j)+0.5*(rng.Float64()-0.5))
		}
	}
	for j := range side - 1 {
		for i := range side - 1 {
			a := j*side + i
			b, c, d := a+1, a+side+1, a+side
			if rng.IntN(2) == 0 {
				l.triangle(a, b, c)
				l.triangle(a, c, d)
			} else {
				l.triangle(a, b, d)
				l.triangle(b, c, d)
			}
		}
	}
	return l
}

func (l *laplacian) triangle(a, b, c int) {
	for range 3 {
		ux, uy := l.x[a]-l.x[c], l.y[a]-l.y[c]
		vx, vy := l.x[b]-l.x[c], l.y[b]-l.y[c]
		l.edge(a, b, (ux*vx+uy*vy)/math.Abs(ux*vy-uy*vx)/2)
		a, b, c = b, c, a
	}
}

// layered is several jittered sheets over each other, joined by hubs: single
// nodes tied to all nodes within a radius of them on every layer.
func layered(layers, side, hubs int, radius float64, rng *rand.Rand) *laplacian {
	l := &laplacian{}
	for range layers {
		sheet, base := jittered(side, rng), l.n
		scale := math.Pow(10, 6*rng.Float64()-3)
		for v := range sheet.n {
			l.node(sheet.x[v], sheet.y[v])
		}
		for k, g := range sheet.g {
			l.edge(base+int(sheet.from[k]), base+int(sheet.to[k]), g*scale)
		}
	}
	for range hubs {
		x, y := rng.Float64()*float64(side), rng.Float64()*float64(side)
		h := l.node(x, y)
		linked := false
		for v := range h {
			if v < layers*side*side && math.Hypot(l.x[v]-x, l.y[v]-y) < radius {
				l.edge(h, v, 10)
				linked = true
			}
		}
		if !linked {
			l.edge(h, rng.IntN(h), 1)
		}
	}
	for k := 1; k < layers; k++ { // no layer floats
		l.edge(0, k*side*side, 1)
	}
	return l
}

// edges is the graph of a nonconforming element: an unknown on each edge of a
// triangulated square, the three of a triangle tied to each other.
func edges(side int, rng *rand.Rand) *laplacian {
	mesh, l := jittered(side, rng), &laplacian{}
	middle := map[[2]int32]int{}
	at := func(a, b int32) int {
		key := [2]int32{min(a, b), max(a, b)}
		v, ok := middle[key]
		if !ok {
			v = l.node((mesh.x[a]+mesh.x[b])/2, (mesh.y[a]+mesh.y[b])/2)
			middle[key] = v
		}
		return v
	}
	for k := 0; k < len(mesh.g); k += 3 {
		p := [3]int{}
		for i := range 3 {
			p[i] = at(mesh.from[k+i], mesh.to[k+i])
		}
		for i := range 3 {
			l.edge(p[i], p[(i+1)%3], 0.5+rng.Float64())
		}
	}
	return l
}
