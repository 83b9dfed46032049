package sparse

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"testing"
)

func TestResidualIsOfRoundingSize(t *testing.T) {
	for name, l := range families() {
		t.Run(name, func(t *testing.T) {
			m, f, err := l.factor()
			if err != nil {
				t.Fatal(err)
			}
			b := random(l.n, source())
			x := append([]float64(nil), b...)
			f.Solve(x)
			if r := f.Residual(m, x, b); !(r <= 1e-14) {
				t.Errorf("Solve: scaled residual %.2e", r)
			}
			for _, k := range []int{2, 8, 19, 40} {
				cols, want := make([][]float64, k), make([][]float64, k)
				for c := range cols {
					want[c] = random(l.n, rand.New(rand.NewPCG(seed, uint64(c))))
					cols[c] = append([]float64(nil), want[c]...)
				}
				f.SolveMany(cols)
				for c := range cols {
					if r := f.Residual(m, cols[c], want[c]); !(r <= 1e-14) {
						t.Errorf("SolveMany: column %d of %d: scaled residual %.2e", c, k, r)
					}
				}
			}
		})
	}
}

// denseSolve is Cholesky's method on full storage.
func denseSolve(m *Matrix, b []float64) []float64 {
	n := m.N
	a := make([][]float64, n)
	for i := range a {
		a[i] = make([]float64, n)
	}
	for j := range n {
		for k := m.Start[j]; k < m.Start[j+1]; k++ {
			a[m.Row[k]][j] = m.Value[k]
		}
	}
	x := append([]float64(nil), b...)
	for j := range n {
		for i := j; i < n; i++ {
			for k := range j {
				a[i][j] -= a[i][k] * a[j][k]
			}
			if i == j {
				a[j][j] = math.Sqrt(a[j][j])
			} else {
				a[i][j] /= a[j][j]
			}
		}
		for k := range j {
			x[j] -= a[j][k] * x[k]
		}
		x[j] /= a[j][j]
	}
	for j := n - 1; j >= 0; j-- {
		for i := j + 1; i < n; i++ {
			x[j] -= a[i][j] * x[i]
		}
		x[j] /= a[j][j]
	}
	return x
}

func TestAgainstDenseCholesky(t *testing.T) {
	rng := source()
	for trial := range 60 {
		n := 1 + rng.IntN(220)
		l := &laplacian{}
		for range n {
			l.node(rng.Float64(), rng.Float64())
		}
		for v := 1; v < n; v++ {
			l.edge(v, rng.IntN(v), math.Pow(10, 3*rng.Float64()))
			if rng.IntN(2) == 0 {
				l.edge(v, rng.IntN(v), 1)
			}
		}
		m, f, err := l.factor()
		if err != nil {
			t.Fatalf("trial %d, n %d: %v", trial, n, err)
		}
		b := random(n, rng)
		want := denseSolve(m, b)
		f.Solve(b)
		scale := maxNorm(want)
		for i := range b {
			if math.Abs(b[i]-want[i]) > 1e-9*scale {
				t.Fatalf("trial %d, n %d: unknown %d is %v, want %v", trial, n, i, b[i], want[i])
			}
		}
	}
}

// vectors are differences of two unknowns, small clouds and an empty one.
func vectors(n, k int, rng *rand.Rand) []Vector {
	out := make([]Vector, k)
	for i := range out {
		for range []int{2, 2, 5, 0}[i%4] {
			out[i].Index = append(out[i].Index, int32(rng.IntN(n)))
			out[i].Value = append(out[i].Value, rng.NormFloat64())
		}
	}
	return out
}

func (v Vector) dense(n int) []float64 {
	x := make([]float64, n)
	for k, i := range v.Index {
		x[i] += v.Value[k]
	}
	return x
}

func TestPathsGiveProductsWithTheInverse(t *testing.T) {
	for name, l := range families() {
		t.Run(name, func(t *testing.T) {
			_, f, err := l.factor()
			if err != nil {
				t.Fatal(err)
			}
			rng := source()
			left, right := vectors(l.n, 21, rng), vectors(l.n, 150, rng)
			a, b := f.ForwardMany(left), f.ForwardMany(right)
			got, swapped := Gram(a, b), Gram(b, a)
			bundled := NewBundle(a).Gram(NewBundle(b))
			for i, v := range left {
				x := v.dense(l.n)
				f.Solve(x)
				one := f.Forward(v)
				for j, w := range right {
					want, scale := 0.0, math.Sqrt(Dot(a[i], a[i])*Dot(b[j], b[j]))
					for k, r := range w.Index {
						want += w.Value[k] * x[r]
					}
					for what, g := range map[string]float64{
						"Dot": Dot(a[i], b[j]), "Forward": Dot(b[j], one),
						"Gram": got[i*len(b)+j], "Gram swapped": swapped[j*len(a)+i], "Bundle": bundled[i*len(b)+j],
					} {
						if !(math.Abs(g-want) <= 1e-9*scale) {
							t.Fatalf("%s(%d, %d) is %v, want %v", what, i, j, g, want)
						}
					}
					if d := Dot(a[i], b[j]); math.Abs(d-got[i*len(b)+j]) > 1e-13*scale {
						t.Fatalf("Gram(%d, %d) is %v, Dot %v", i, j, got[i*len(b)+j], d)
					}
				}
			}
		})
	}
}

func TestPathIsShort(t *testing.T) {
	l := jittered(150, source())
	_, f, err := l.factor()
	if err != nil {
		t.Fatal(err)
	}
	p := f.Forward(Vector{Index: []int32{5}, Value: []float64{1}})
	if p.Len() > l.n/10 {
		t.Errorf("the path of one unknown of %d holds %d values", l.n, p.Len())
	}
}

func TestNotPositive(t *testing.T) {
	var not *NotPositiveError
	side := 220
	if testing.Short() {
		side = 80
	}
	for name, l := range map[string]*laplacian{
		"grid": grid(50, 50), "mesh": jittered(side, source()), "line": grid(9, 1),
		"edge elements": edges(60, source()),
	} {
		m := l.matrix(0)
		if _, err := Factorise(m, l.x, l.y); !errors.As(err, &not) {
			t.Errorf("%s without ground: error %v, want NotPositiveError", name, err)
		}
	}
	l := grid(50, 50)
	m := l.matrix(1)
	m.Value[m.Start[777]] = -1
	_, err := Factorise(m, l.x, l.y)
	if !errors.As(err, &not) {
		t.Fatalf("negative diagonal: error %v, want NotPositiveError", err)
	}
	if not.Unknown < 0 || not.Unknown >= l.n {
		t.Errorf("unknown %d is none", not.Unknown)
	}
	b := NewBuilder(3)
	b.Add(0, 0, 1)
	b.Add(2, 2, 1)
	if _, err := Factorise(b.Build(), nil, nil); !errors.As(err, &not) || not.Unknown != 1 {
		t.Errorf("empty row 1: error %v", err)
	}
	b.Add(1, 1, math.NaN())
	if _, err := Factorise(b.Build(), nil, nil); !errors.As(err, &not) || not.Unknown != 1 {
		t.Errorf("NaN at 1: error %v", err)
	}
}

func TestIsolatedNode(t *testing.T) {
	l := grid(30, 30)
	alone := l.node(math.NaN(), 7)
	b := NewBuilder(l.n)
	b.Add(alone, alone, 4)
	b.Add(0, 0, 1)
	for k, g := range l.g {
		i, j := int(l.from[k]), int(l.to[k])
		b.Add(i, i, g)
		b.Add(j, j, g)
		b.Add(j, i, -g)
	}
	f, err := Factorise(b.Build(), l.x, l.y)
	if err != nil {
		t.Fatal(err)
	}
	x := make([]float64, l.n)
	x[alone] = 1
	f.Solve(x)
	for i, v := range x {
		if i != alone && v != 0 || i == alone && v != 0.25 {
			t.Errorf("x[%d] = %v", i, v)
		}
	}
}

// Every sum has a fixed order, whatever the number of cores.
func TestSameOnAnyNumberOfCores(t *testing.T) {
	l := layered(2, 110, 20, 5, source())
	results := func() []float64 {
		_, f, err := l.factor()
		if err != nil {
			t.Fatal(err)
		}
		rng := source()
		x := random(l.n, rng)
		f.Solve(x)
		var cols [][]float64
		for range 21 {
			cols = append(cols, random(l.n, rng))
		}
		f.SolveMany(cols)
		for _, c := range cols {
			x = append(x, c...)
		}
		return append(x, Gram(f.ForwardMany(vectors(l.n, 40, rng)), f.ForwardMany(vectors(l.n, 300, rng)))...)
	}
	want := results()
	for _, p := range []int{1, 2, 5} {
		before := runtime.GOMAXPROCS(p)
		got := results()
		runtime.GOMAXPROCS(before)
		for i := range want {
			if got[i] != want[i] {
				t.Fatalf("on %d cores number %d is %v, not %v", p, i, got[i], want[i])
			}
		}
	}
}

func TestPlainKernelSolvesToo(t *testing.T) {
	if !haveVector {
		t.Skip("only the plain kernel runs here anyway")
	}
	setVector(false)
	defer setVector(true)
	l := jittered(60, source())
	m, f, err := l.factor()
	if err != nil {
		t.Fatal(err)
	}
	b := random(l.n, source())
	cols := [][]float64{append([]float64(nil), b...), append([]float64(nil), b...)}
	f.SolveMany(cols)
	if r := f.Residual(m, cols[1], b); !(r <= 1e-14) {
		t.Errorf("scaled residual %.2e", r)
	}
}

func TestFactorAgain(t *testing.T) {
	l := jittered(40, source())
	m := l.matrix(1)
	s, err := Analyse(m, Dissect(m, l.x, l.y))
	if err != nil {
		t.Fatal(err)
	}
	for k := range l.g {
		l.g[k] *= 3
	}
	again := l.matrix(3)
	f, err := s.Factor(again)
	if err != nil {
		t.Fatal(err)
	}
	b := random(l.n, source())
	x := append([]float64(nil), b...)
	f.Solve(x)
	if r := f.Residual(again, x, b); !(r <= 1e-14) {
		t.Errorf("scaled residual %.2e", r)
	}
	if _, err := s.Factor(grid(40, 40).matrix(1)); err == nil {
		t.Error("a matrix with another pattern was factored")
	}
}

func TestAnalyseRejects(t *testing.T) {
	m := grid(3, 1).matrix(1)
	for _, o := range []Order{nil, {0, 1}, {0, 1, 1}, {0, 1, 3}, {-1, 1, 2}} {
		if _, err := Analyse(m, o); err == nil {
			t.Errorf("order %v was accepted", o)
		}
	}
	bad := *m
	bad.Row = append([]int32(nil), m.Row...)
	bad.Row[0] = 2
	if _, err := Analyse(&bad, Order{0, 1, 2}); err == nil {
		t.Error("a column without its diagonal was accepted")
	}
	if _, err := Factorise(&Matrix{N: 0, Start: []int{0}}, nil, nil); err != nil {
		t.Errorf("empty matrix: %v", err)
	}
}

func TestAnyOrderServes(t *testing.T) {
	l := layered(2, 12, 5, 3, source())
	m := l.matrix(1)
	for range 5 {
		o := make(Order, l.n)
		for i, v := range source().Perm(l.n) {
			o[i] = int32(v)
		}
		s, err := Analyse(m, o)
		if err != nil {
			t.Fatal(err)
		}
		f, err := s.Factor(m)
		if err != nil {
			t.Fatal(err)
		}
		b := random(l.n, source())
		x := append([]float64(nil), b...)
		f.Solve(x)
		if r := f.Residual(m, x, b); !(r <= 1e-14) {
			t.Errorf("scaled residual %.2e", r)
		}
	}
}

func TestBuilderSums(t *testing.T) {
	b := NewBuilder(3)
	b.Add(0, 2, 1)
	b.Add(2, 0, 4)
	b.Add(1, 1, 7)
	b.Add(1, 1, -2)
	m := b.Build()
	if got, want := fmt.Sprint(*m), "{3 [0 2 3 4] [0 2 1 2] [0 5 5 0]}"; got != want {
		t.Errorf("matrix %s, want %s", got, want)
	}
	y := make([]float64, 3)
	m.Mul(y, []float64{1, 2, 3})
	if y[0] != 15 || y[1] != 10 || y[2] != 5 {
		t.Errorf("product %v", y)
	}
}
