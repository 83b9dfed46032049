package sparse

import (
	"strings"
	"testing"
)

// TestWrongSolutionsAreTold: a factor with one number wrong, as a fault of the
// processor might leave it, is found by the first solution that it spoils.
func TestWrongSolutionsAreTold(t *testing.T) {
	l := jittered(60, source())
	columns := func(n int) [][]float64 {
		cols := make([][]float64, n)
		for c := range cols {
			cols[c] = random(l.n, source())
			for i := range cols[c] {
				cols[c][i] *= float64(1 - 2*(c%2)) // in pairs that sum to nothing
			}
		}
		return cols
	}
	for name, solve := range map[string]func(f *Factor){
		"one":  func(f *Factor) { f.Solve(columns(1)[0]) },
		"many": func(f *Factor) { f.SolveMany(columns(21)) },
	} {
		_, f, err := l.factor()
		if err != nil {
			t.Fatal(err)
		}
		if solve(f); f.Err() != nil {
			t.Errorf("%s: a sound factor: %v", name, f.Err())
		}
		f.value[f.s.nodes[len(f.s.nodes)/2].panel] *= 1 + 1e-6
		if solve(f); f.Err() == nil || !strings.Contains(f.Err().Error(), "residual") {
			t.Errorf("%s: a factor with a wrong number: told %v", name, f.Err())
		}
	}
}

// TestUnequalColumnsCountAlike: a column that is wrong is found beside others
// that are a million million times as large.
func TestUnequalColumnsCountAlike(t *testing.T) {
	l := jittered(40, source())
	_, f, err := l.factor()
	if err != nil {
		t.Fatal(err)
	}
	n := l.n
	cols := [][]float64{random(n, source()), random(n, source())}
	for i := range n {
		cols[0][i] *= 1e12
	}
	w := weights(cols)
	b, x := make([]float64, n), make([]float64, n)
	y := make([]float64, 8*n) // the second column's solution is wrong by its all
	first := append([]float64(nil), cols[0]...)
	f.Solve(first)
	for i, v := range first {
		y[8*i] = v
	}
	deinterleave(cols, y, 8, w, b, x)
	if f.check(b, x); f.Err() == nil {
		t.Error("not found")
	}
}

// Residual returns |b - A x| / (|A| |x| + |b|) in maximum norms: of the order
// of the rounding unit when x solves A x = b as well as can be, and NaN or
// infinite when x is.
func (f *Factor) Residual(m *Matrix, x, b []float64) float64 {
	checkLength("Residual", m.N, len(x), len(b))
	left := append([]float64(nil), b...)
	m.subtract(left, x)
	scale := m.norm()*maxNorm(x) + maxNorm(b)
	r := maxNorm(left)
	if r == 0 {
		return 0
	}
	return r / scale
}
