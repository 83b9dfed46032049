package sparse

import (
	"errors"
	"math"
	"strings"
	"testing"
)

// iterating analyses with a limit that the factor does not fit in: the large
// ones with a tenth of what it takes, the small ones with a single byte, so
// that there is no coarse part.
func iterating(t *testing.T, l *laplacian) (*Matrix, *Factor) {
	t.Helper()
	m := l.matrix(1)
	o := Dissect(m, l.x, l.y)
	s, err := Analyse(m, o)
	if err != nil {
		t.Fatal(err)
	}
	limit := int64(1)
	if l.n > 2500 {
		limit = s.PeakBytes() / 10
	}
	if s, err = AnalyseWithin(m, o, l.x, l.y, limit); err != nil || !s.Iterates() {
		t.Fatal("does not iterate", err)
	}
	f, err := s.Factor(m)
	if err != nil {
		t.Fatal(err)
	}
	return m, f
}

// TestIterationAgrees compares the iteration with the factor: products of
// paths to 1e-8, solutions by their residual.
func TestIterationAgrees(t *testing.T) {
	for name, l := range families() {
		t.Run(name, func(t *testing.T) {
			m, it := iterating(t, l)
			f, err := Factorise(m, l.x, l.y)
			if err != nil {
				t.Fatal(err)
			}
			n := l.n
			vs := []Vector{
				{[]int32{0, int32(n - 1)}, []float64{1, -1}},
				{[]int32{int32(n / 2), int32(n / 3), int32(n / 2)}, []float64{0.5, -1, 0.5}},
				{[]int32{int32(n / 5)}, []float64{2}},
			}
			got, want := it.ForwardMany(vs), f.ForwardMany(vs)
			got = append(got, Combine(got, []float64{1, -2, 0.25}))
			want = append(want, Combine(want, []float64{1, -2, 0.25}))
			g, w := Gram(got, got), Gram(want, want)
			k := len(got)
			for i := range k {
				for j := range k {
					scale := math.Sqrt(w[i*k+i] * w[j*k+j])
					if d := math.Abs(g[i*k+j] - w[i*k+j]); !(d <= 1e-8*scale) {
						t.Errorf("product of %d and %d: %.12g, factored %.12g", i, j, g[i*k+j], w[i*k+j])
					}
					if g[i*k+j] != Dot(got[j], got[i]) {
						t.Errorf("Gram and Dot of %d and %d differ", i, j)
					}
				}
			}
			b := random(n, source())
			x, cols := append([]float64(nil), b...), [][]float64{append([]float64(nil), b...)}
			it.Solve(x)
			it.SolveMany(cols)
			for _, x := range [][]float64{x, cols[0]} {
				if r := it.Residual(m, x, b); !(r <= 1e-10) {
					t.Errorf("scaled residual %.2e", r)
				}
			}
			if err := it.Err(); err != nil {
				t.Error(err)
			}
		})
	}
}

// TestLimit: a factor that just fits is factored, one that just does not
// iterates.
func TestLimit(t *testing.T) {
	l := grid(40, 60)
	m := l.matrix(1)
	o := Dissect(m, l.x, l.y)
	s, err := Analyse(m, o)
	if err != nil {
		t.Fatal(err)
	}
	if s.PeakBytes() < s.MemoryBytes() {
		t.Errorf("peak %d below the factor's own %d", s.PeakBytes(), s.MemoryBytes())
	}
	for _, c := range []struct {
		limit int64
		want  bool
	}{{0, false}, {s.PeakBytes(), false}, {s.PeakBytes() - 1, true}} {
		s, err := AnalyseWithin(m, o, l.x, l.y, c.limit)
		if err != nil || s.Iterates() != c.want {
			t.Errorf("limit %d: iterates %v, want %v; %v", c.limit, s.Iterates(), c.want, err)
		}
	}
}

// TestIterationFails: a matrix that is not positive definite is an error, and
// a solution that misses its residual is told.
func TestIterationFails(t *testing.T) {
	b := NewBuilder(600)
	for i := range 600 {
		b.Add(i, i, 1)
		b.Add(i, (i+1)%600, -3)
	}
	m := b.Build()
	x := make([]float64, 600)
	s, err := AnalyseWithin(m, Dissect(m, x, x), x, x, 4000)
	if err != nil || !s.Iterates() {
		t.Fatal("does not iterate", err)
	}
	f, err := s.Factor(m)
	var bad *NotPositiveError
	switch {
	case errors.As(err, &bad):
	case err != nil:
		t.Errorf("got %v", err)
	default:
		f.Solve(random(600, source()))
		if f.Err() == nil || !strings.Contains(f.Err().Error(), "residual") {
			t.Errorf("an indefinite matrix was solved: %v", f.Err())
		}
	}
}

// TestIterationKeepsToItsLimit: more whole solutions than the limit holds are
// refused, and told.
func TestIterationKeepsToItsLimit(t *testing.T) {
	l := grid(60, 60)
	m := l.matrix(1)
	o := Dissect(m, l.x, l.y)
	s, err := Analyse(m, o)
	if err != nil {
		t.Fatal(err)
	}
	if s, err = AnalyseWithin(m, o, l.x, l.y, s.PeakBytes()/2); err != nil {
		t.Fatal(err)
	}
	it, err := s.Factor(m)
	if err != nil || it.iter == nil {
		t.Fatal("does not iterate", err)
	}
	vs := make([]Vector, 1+minSolutionBytes/(8*m.N))
	for i := range vs {
		vs[i] = Vector{Index: []int32{int32(i)}, Value: []float64{1}}
	}
	if it.ForwardMany(vs[:9]); it.Err() != nil {
		t.Fatalf("nine solutions fit and are refused: %v", it.Err())
	}
	for i, p := range it.ForwardMany(vs) {
		if p.Len() != 0 {
			t.Fatalf("solution %d of too many is there", i)
		}
	}
	if it.Err() == nil || !strings.Contains(it.Err().Error(), "fewer places") {
		t.Errorf("told %v", it.Err())
	}
}
