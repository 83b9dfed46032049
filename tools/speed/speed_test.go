package main

import (
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"ohmward/internal/sparse"
)

// What is written for the reference is what was made.
func TestFileHoldsTheProblem(t *testing.T) {
	p, err := square(400)
	if err != nil {
		t.Fatal(err)
	}
	name := filepath.Join(t.TempDir(), "matrix")
	if err := p.write(name); err != nil {
		t.Fatal(err)
	}
	q, err := read(name)
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(p.m.Start, q.m.Start) || !slices.Equal(p.m.Row, q.m.Row) || !slices.Equal(p.m.Value, q.m.Value) || !slices.Equal(p.x, q.x) || !slices.Equal(p.y, q.y) {
		t.Error("the problem read differs from the one written")
	}
}

// Both shapes are Laplacians with one tie to ground: a unit current into any
// place raises unknown 0 by one, whatever its way there. And the board is in
// one piece, of about the size wanted.
func TestShapesConduct(t *testing.T) {
	for name, build := range shapes {
		p, err := build(6000)
		if err != nil {
			t.Fatal(err)
		}
		n := p.m.N
		if n < 5000 || n > 7200 {
			t.Errorf("%s: %d unknowns, want about 6000", name, n)
		}
		f, err := sparse.Factorise(p.m, p.x, p.y)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		for _, at := range []int{n - 1, n / 2, 1} {
			x := make([]float64, n)
			x[at] = 1
			f.Solve(x)
			if math.Abs(x[0]-1) > 1e-9 {
				t.Errorf("%s: current into %d raises unknown 0 by %.12g, want 1", name, at, x[0])
			}
			if x[at] <= x[0] {
				t.Errorf("%s: unknown %d is at %g, below ground's %g", name, at, x[at], x[0])
			}
		}
	}
}

// The rims of barrels are single unknowns with many neighbours, one per layer.
func TestPlanesHaveRims(t *testing.T) {
	p, err := planes(6000)
	if err != nil {
		t.Fatal(err)
	}
	ties := 0
	for j := range p.m.N {
		for k := p.m.Start[j] + 1; k < p.m.Start[j+1]; k++ {
			if i := p.m.Row[k]; p.x[i] == p.x[j] && p.y[i] == p.y[j] {
				ties++
			}
		}
	}
	if ties < 20 {
		t.Errorf("%d ties between layers, want at least 20", ties)
	}
}

// A contestant that solves something else is found out, and what it tells is
// kept at its least.
func TestCompete(t *testing.T) {
	says := func(words string) contestant {
		return contestant{name: words, command: []string{"echo", words}}
	}
	got, names, err := compete([]contestant{says("sum=1 factor=3 blas=x"), says("sum=1.000000000001 factor=2")}, "", 2)
	if err != nil {
		t.Fatal(err)
	}
	if got[0]["factor"] != 3 || got[1]["factor"] != 2 || names["blas"] != "x" {
		t.Errorf("got %v and %v", got, names)
	}
	if _, _, err := compete([]contestant{says("sum=1"), says("sum=1.0001")}, "", 1); err == nil || !strings.Contains(err.Error(), "solves otherwise") {
		t.Errorf("a different solution passed: %v", err)
	}
	if l := least(figures{"a": 1, "b": 5}, figures{"a": 2, "b": 4}); l["a"] != 1 || l["b"] != 4 {
		t.Errorf("least of two: %v", l)
	}
}

// The reference gives the same solution, where it is installed.
func TestAgainstTheReference(t *testing.T) {
	dir := t.TempDir()
	oracle, err := buildOracle(dir)
	if err != nil {
		t.Skip("skipped: ", err)
	}
	p, err := planes(6000)
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(dir, "matrix")
	if err := p.write(file); err != nil {
		t.Fatal(err)
	}
	got, _, err := (contestant{name: "CHOLMOD", command: []string{oracle}, after: []string{"amd"}}).run(file)
	if err != nil {
		t.Fatal(err)
	}
	f, err := sparse.Factorise(p.m, p.x, p.y)
	if err != nil {
		t.Fatal(err)
	}
	columns, sum := rightSides(p.m.N), 0.0
	f.SolveMany(columns)
	for _, c := range columns {
		for _, v := range c {
			sum += math.Abs(v)
		}
	}
	if math.Abs(sum-got["sum"]) > 1e-9*sum {
		t.Errorf("sum of the solutions %.12g, CHOLMOD has %.12g", sum, got["sum"])
	}
}
