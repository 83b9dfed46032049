package sparse

import (
	"math"
	"testing"
)

// The factor's size, counted. Nested dissection of a grid of s by s unknowns
// by straight lines leaves (31/4) s² log2(s) entries, 2.37 million for s =
// 200, to leading order (George 1973). The limits are about 1.15 times what
// was found when they were written.
func TestFillIsThatOfNestedDissection(t *testing.T) {
	for _, c := range []struct {
		name  string
		l     *laplacian
		limit int64
	}{
		{"grid", grid(200, 200), 1_370_000},
		{"no coordinates", onePlace(grid(200, 200)), 1_400_000},
		{"line", grid(20000, 1), 150_000},
		{"star", star(20000), 45_000},
		{"mesh", jittered(200, source()), 1_600_000},
		{"edge elements", edges(120, source()), 960_000},
		{"layers and hubs", layered(3, 100, 60, 5, source()), 1_750_000},
	} {
		if testing.Short() && c.name != "grid" && c.name != "star" {
			continue
		}
		m := c.l.matrix(1)
		s, err := Analyse(m, Dissect(m, c.l.x, c.l.y))
		if err != nil {
			t.Fatal(err)
		}
		if s.NNZ() > c.limit {
			t.Errorf("%s: %d entries in the factor, want at most %d", c.name, s.NNZ(), c.limit)
		}
	}
}

// Whatever the graph and the coordinates, the order is one and serves.
func TestDissectOnAnyGraph(t *testing.T) {
	rng := source()
	odd := []float64{math.NaN(), math.Inf(1), math.Inf(-1), math.MaxFloat64, -math.MaxFloat64, 0, 1e-320}
	trials := 60
	if testing.Short() {
		trials = 15
	}
	for trial := range trials {
		n := 1 + rng.IntN(1500)
		l := &laplacian{}
		for range n {
			x, y := rng.NormFloat64(), rng.NormFloat64()
			switch {
			case trial%3 == 1 && rng.IntN(10) == 0:
				x, y = odd[rng.IntN(len(odd))], odd[rng.IntN(len(odd))]
			case trial%3 == 2:
				x, y = math.Round(x), 0
			}
			l.node(x, y)
		}
		hubs := 1 + rng.IntN(5)
		for v := 1; v < n; v++ {
			switch rng.IntN(10) {
			case 0:
			case 1:
				l.edge(v, rng.IntN(min(v, hubs)), 1)
			default:
				l.edge(v, rng.IntN(v), 1+rng.Float64())
			}
			l.edge(v, max(0, v-1-rng.IntN(30)), 1)
		}
		m := l.matrix(1)
		f, err := Factorise(m, l.x, l.y)
		if err != nil {
			t.Fatalf("trial %d, n %d: %v", trial, n, err)
		}
		b := random(n, rng)
		x := append([]float64(nil), b...)
		f.Solve(x)
		if r := f.Residual(m, x, b); !(r <= 1e-14) {
			t.Errorf("trial %d, n %d: scaled residual %.2e", trial, n, r)
		}
	}
}

// A stack of sheets tied at few places is parted between the sheets. Where the
// places do not tell (the same ties from place to place, a little beside each
// other) every cut goes through all sheets and the factor takes far more work.
func TestStackIsPartedBetweenSheets(t *testing.T) {
	work := func(shift float64) float64 {
		m, l := stack(4, 60, 3, shift)
		s, err := Analyse(m, Dissect(m, l.x, l.y))
		if err != nil {
			t.Fatal(err)
		}
		return s.Flops()
	}
	together, blind := work(0), work(1e-3)
	if together > 0.5*blind {
		t.Errorf("%.3g flops with sheets told apart, %.3g without: want at most half", together, blind)
	}
}

// stack is some grids over each other, tied at holes by holes places, the ends
// of each tie shift beside each other.
func stack(layers, side, holes int, shift float64) (*Matrix, *laplacian) {
	l := &laplacian{}
	for k := range layers {
		g := grid(side, side)
		for v := range g.n {
			l.node(g.x[v]+float64(k)*shift, g.y[v])
		}
		for e, c := range g.g {
			l.edge(k*g.n+int(g.from[e]), k*g.n+int(g.to[e]), c)
		}
	}
	for k := 1; k < layers; k++ {
		for h := range holes * holes {
			at := (h%holes+1)*side/(holes+1) + (h/holes+1)*side/(holes+1)*side
			l.edge((k-1)*side*side+at, k*side*side+at, 1)
		}
	}
	return l.matrix(1), l
}
