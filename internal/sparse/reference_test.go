package sparse

import (
	"fmt"
	"math"
	"testing"
)

// resistances returns R(i, j) of a connected graph for all pairs asked.
func (l *laplacian) resistances(t *testing.T, pairs [][2]int) []float64 {
	t.Helper()
	_, f, err := l.factor()
	if err != nil {
		t.Fatal(err)
	}
	vs := make([]Vector, len(pairs))
	for k, p := range pairs {
		vs[k] = Vector{Index: []int32{int32(p[0]), int32(p[1])}, Value: []float64{1, -1}}
	}
	out := make([]float64, len(pairs))
	for k, p := range f.ForwardMany(vs) {
		out[k] = Dot(p, p)
	}
	return out
}

// graph is a graph of unit conductances, its nodes on a circle.
func graph(n int, edges ...[2]int) *laplacian {
	l := &laplacian{}
	for i := range n {
		l.node(math.Cos(2*math.Pi*float64(i)/float64(n)), math.Sin(2*math.Pi*float64(i)/float64(n)))
	}
	for _, e := range edges {
		l.edge(e[0], e[1], 1)
	}
	return l
}

// where builds a graph of n nodes with an edge wherever joined says so.
func where(n int, joined func(i, j int) bool) *laplacian {
	l := graph(n)
	for j := range n {
		for i := range j {
			if joined(i, j) {
				l.edge(i, j, 1)
			}
		}
	}
	return l
}

func cycle(n int) *laplacian {
	return where(n, func(i, j int) bool { return j-i == 1 || j-i == n-1 })
}

func cube() *laplacian {
	return where(8, func(i, j int) bool { d := i ^ j; return d&(d-1) == 0 })
}

// REFERENCES B23, B24, B26, B27: graphs with rational resistances.
func TestKnownGraphs(t *testing.T) {
	octahedron := where(6, func(i, j int) bool { return i+j != 5 })
	bipartite := where(6, func(i, j int) bool { return (i+j)%2 == 1 })
	petersen := graph(10)
	for i := range 5 {
		petersen.edge(i, (i+1)%5, 1)
		petersen.edge(i, i+5, 1)
		petersen.edge(i+5, (i+2)%5+5, 1)
	}
	bridge := graph(4) // A, B, P, Q
	for _, e := range [][3]int{{0, 2, 1}, {0, 3, 2}, {2, 1, 3}, {3, 1, 4}, {2, 3, 5}} {
		bridge.edge(e[0], e[1], 1/float64(e[2]))
	}
	cases := []struct {
		name string
		l    *laplacian
		i, j int
		want float64
	}{
		{"cube, edge", cube(), 0, 1, 7. / 12},
		{"cube, face", cube(), 0, 3, 3. / 4},
		{"cube, body", cube(), 0, 7, 5. / 6},
		{"octahedron, edge", octahedron, 0, 1, 5. / 12},
		{"octahedron, opposite", octahedron, 0, 5, 1. / 2},
		{"C6, 1", cycle(6), 0, 1, 5. / 6},
		{"C6, 2", cycle(6), 0, 2, 4. / 3},
		{"C6, 3", cycle(6), 0, 3, 3. / 2},
		{"K3,3, edge", bipartite, 0, 1, 5. / 9},
		{"K3,3, same side", bipartite, 0, 2, 2. / 3},
		{"Petersen, edge", petersen, 0, 1, 3. / 5},
		{"Petersen, no edge", petersen, 0, 2, 4. / 5},
		{"unbalanced bridge", bridge, 0, 1, 170. / 71},
	}
	add := func(name string, l *laplacian, i, j int, want float64) {
		cases = append(cases, struct {
			name string
			l    *laplacian
			i, j int
			want float64
		}{name, l, i, j, want})
	}
	for _, n := range []int{2, 3, 10, 100, 300} {
		add(fmt.Sprintf("K%d", n), where(n, func(i, j int) bool { return true }), 0, n-1, 2/float64(n))
	}
	for k, want := range []float64{1, 3. / 2, 13. / 7, 47. / 22, 1171. / 495, 6385. / 2494} {
		n := k + 2
		add(fmt.Sprintf("%d by %d grid, corners", n, n), grid(n, n), 0, n*n-1, want)
	}
	for k, want := range []float64{2, 5. / 3, 13. / 8, 34. / 21, 89. / 55, 233. / 144} {
		ladder := graph(k + 3) // node 0 is the common rail
		for s := 1; s <= k+1; s++ {
			ladder.edge(s, s+1, 1)
			ladder.edge(s+1, 0, 1)
		}
		add(fmt.Sprintf("ladder of %d sections", k+1), ladder, 1, 0, want)
	}
	for _, c := range cases {
		if got := c.l.resistances(t, [][2]int{{c.i, c.j}})[0]; math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%s: %.15g, want %.15g", c.name, got, c.want)
		}
	}
}

// REFERENCES B20, B21: the infinite square lattice, approached by a grid. Its
// border is n/2 away, so that the values exceed the lattice's by something
// that falls as 1/n²: two sizes show the rate, and give the limit.
func TestInfiniteLattice(t *testing.T) {
	steps := [][2]int{{1, 0}, {1, 1}, {2, 0}, {2, 1}, {2, 2}, {3, 0}, {3, 3}, {4, 0}}
	want := []float64{0.5, 2 / math.Pi, 2 - 4/math.Pi, 4/math.Pi - 0.5, 8 / (3 * math.Pi), 17./2 - 24/math.Pi,
		46 / (15 * math.Pi), 0.953987}
	around := func(n int) []float64 {
		pairs := make([][2]int, len(steps))
		centre := n/2*n + n/2
		for k, s := range steps {
			pairs[k] = [2]int{centre, centre + s[1]*n + s[0]}
		}
		return grid(n, n).resistances(t, pairs)
	}
	coarse, fine := around(101), around(201)
	for k, s := range steps {
		limit := fine[k] + (fine[k]-coarse[k])/(math.Pow(201./101, 2)-1)
		if fine[k] < want[k]-1e-6 || fine[k] > want[k]+1e-3 {
			t.Errorf("(%d, %d): %.6f on the finer grid, want a little above %.6f", s[0], s[1], fine[k], want[k])
		}
		if math.Abs(limit-want[k]) > 1e-5 {
			t.Errorf("(%d, %d): limit %.7f, want %.7f", s[0], s[1], limit, want[k])
		}
	}
}

// REFERENCES B28 (Foster): over all edges of a connected graph of n nodes,
// the sum of conductance times resistance is n - 1.
func TestFoster(t *testing.T) {
	for name, l := range map[string]*laplacian{
		"3 by 3 grid": grid(3, 3), "grid": grid(50, 40), "mesh": jittered(60, source()),
		"edge elements": edges(25, source()), "layers and hubs": layered(2, 30, 10, 5, source()),
	} {
		pairs := make([][2]int, len(l.g))
		for k := range l.g {
			pairs[k] = [2]int{int(l.from[k]), int(l.to[k])}
		}
		sum := 0.0
		for k, r := range l.resistances(t, pairs) {
			sum += l.g[k] * r
		}
		if want := float64(l.n - 1); math.Abs(sum-want) > 1e-9*want {
			t.Errorf("%s: %.12g, want %g", name, sum, want)
		}
	}
}

// REFERENCES B28 (Kirchhoff index): the resistances between all pairs of a
// cycle's nodes sum to (n³ - n)/12, 10 for five nodes.
func TestKirchhoffIndex(t *testing.T) {
	for _, n := range []int{3, 5, 12, 70} {
		var pairs [][2]int
		for j := range n {
			for i := range j {
				pairs = append(pairs, [2]int{i, j})
			}
		}
		sum := 0.0
		for _, r := range cycle(n).resistances(t, pairs) {
			sum += r
		}
		if want := float64(n*n*n-n) / 12; math.Abs(sum-want) > 1e-11*want {
			t.Errorf("cycle of %d: %.12g, want %g", n, sum, want)
		}
	}
}

// REFERENCES B28 (Rayleigh; resistance is a metric).
func TestRayleighAndTriangle(t *testing.T) {
	l, rng := jittered(25, source()), source()
	for k := range l.g {
		l.g[k] = math.Abs(l.g[k]) + 0.01
	}
	var pairs [][2]int
	for range 100 {
		a, b, c := rng.IntN(l.n), rng.IntN(l.n), rng.IntN(l.n)
		pairs = append(pairs, [2]int{a, b}, [2]int{b, c}, [2]int{a, c})
	}
	before := l.resistances(t, pairs)
	for k := 0; k < len(before); k += 3 {
		if before[k+2] > (before[k]+before[k+1])*(1+1e-12) {
			t.Errorf("R(a, c) %v exceeds R(a, b) + R(b, c) = %v", before[k+2], before[k]+before[k+1])
		}
	}
	for range 40 {
		l.g[rng.IntN(len(l.g))] /= 10
	}
	raised := 0
	for k, r := range l.resistances(t, pairs) {
		if r < before[k]*(1-1e-12) {
			t.Errorf("pair %d: raising resistors lowered %v to %v", k, before[k], r)
		}
		if r > before[k]*(1+1e-6) {
			raised++
		}
	}
	if raised == 0 {
		t.Error("raising resistors raised no resistance between nodes")
	}
}
