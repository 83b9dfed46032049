package check

import (
	"math"
	"os"
	"path/filepath"
	"testing"
)

func TestNear(t *testing.T) {
	for _, c := range []struct {
		name      string
		got, want float64
		tol       Tol
		near      bool
	}{
		{"equal", 1, 1, Tol{}, true},
		{"relative inside", 100.9, 100, Tol{Rel: 0.01}, true},
		{"relative outside", 101.1, 100, Tol{Rel: 0.01}, false},
		{"absolute about zero", 1e-12, 0, Tol{Abs: 1e-9}, true},
		{"not a number", math.NaN(), 0, Tol{Abs: 1}, false},
		{"wanted not a number", 0, math.NaN(), Tol{Abs: 1}, false},
		{"infinite", math.Inf(1), math.Inf(1), Tol{}, true},
		{"finite for infinite", 1, math.Inf(1), Tol{Rel: 1}, false},
	} {
		if Near(c.got, c.want, c.tol) != c.near {
			t.Errorf("%s: Near(%g, %g, %+v) = %v", c.name, c.got, c.want, c.tol, !c.near)
		}
	}
}

// failures records instead of failing, to test that a check can fail.
type failures struct {
	testing.TB
	n int
}

func (f *failures) Helper()               {}
func (f *failures) Errorf(string, ...any) { f.n++ }

func TestChecksCanFail(t *testing.T) {
	file := filepath.Join(t.TempDir(), "golden.txt")
	if err := os.WriteFile(file, []byte("one\ntwo\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	f := &failures{TB: t}
	Golden(f, file, []byte("one\ntwo\n"))
	Approx(f, 1.0, 1.0, Tol{})
	if f.n != 0 {
		t.Fatalf("%d failures where all agrees", f.n)
	}
	Golden(f, file, []byte("one\nthree\n"))
	Golden(f, file, []byte("one\ntwo\nthree\n"))
	Approx(f, 1.0, 2.0, Tol{Rel: 0.1})
	if f.n != 3 {
		t.Fatalf("%d failures of 3", f.n)
	}
}
