package conduct

import (
	"context"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"testing"

	"ohmward/internal/check"
)

// bracketDraws is how many shapes the count takes, or as many as
// OHMWARD_BRACKETS says.
func bracketDraws(t *testing.T) int {
	t.Helper()
	text := os.Getenv("OHMWARD_BRACKETS")
	if text == "" {
		return check.Draws(t, 0, 36, 204)
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 {
		t.Fatalf("OHMWARD_BRACKETS=%q is no number of shapes", text)
	}
	return n
}

// TestBrackets counts how often the bracket of a resistance misses the truth,
// on random shapes: the closed form where there is one, else a much finer mesh
// of an outline five times nearer to what was drawn. Brackets that miss in more
// than one case in a hundred are a defect, and so are brackets ten times too
// wide: that a tenth of their width would do as well.
func TestBrackets(t *testing.T) {
	if testing.Short() {
		t.Skip("left out in short runs: it solves hundreds of shapes")
	}
	meshes := []struct {
		name   string
		within float64
	}{{"first mesh", 1}, {"0.3 %", Accuracy}}
	counts := make([]bracketCount, len(meshes))
	draws := bracketDraws(t)
	for n := range draws {
		shape, kind := drawShape(t, n)
		truth := shape.ohms
		if truth == 0 {
			truth = ohmsOf(t, shape, Options{Simplify: 200}, bracketKinds[n%len(bracketKinds)].truth).Ohms
		}
		for k, m := range meshes {
			b := ohmsOf(t, shape, Options{}, m.within)
			if counts[k].add(kind, truth, b) {
				t.Logf("%s, shape %d, %s: %.7g is outside %.7g to %.7g", m.name, n, kind, truth, b.Low, b.High)
			}
		}
	}
	for k, m := range meshes {
		counts[k].judge(t, m.name, draws)
	}
}

// drawShape gives the n-th shape and its kind.
func drawShape(t *testing.T, n int) (drawnShape, string) {
	t.Helper()
	kind := bracketKinds[n%len(bracketKinds)]
	rng := rand.New(rand.NewPCG(uint64(n), 0x6272))
	for range 200 {
		if s, ok := kind.draw(rng); ok {
			return s, kind.name
		}
	}
	t.Fatalf("no %s could be drawn with seed %d", kind.name, n)
	return drawnShape{}, ""
}

func ohmsOf(t *testing.T, s drawnShape, o Options, within float64) Bounds {
	t.Helper()
	o.Discs = s.discs
	c, err := Solve(context.Background(), s.group, o, [][2]int{{0, 1}}, within)
	if err != nil {
		t.Fatal(err)
	}
	b, err := c.Resistance(0, 1)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// bracketCount is how brackets fared against the truth.
type bracketCount struct {
	misses, outside int            // of the bracket; of the two strict bounds
	by              map[string]int // misses by kind
	widths          []float64      // half-widths, relative to the truth
	errors          []float64      // of the middle, relative to the truth
	ratios          []float64      // half-width over error
}

// add takes in a bracket and tells whether it missed.
func (c *bracketCount) add(kind string, truth float64, b Bounds) bool {
	half, off := (b.High-b.Low)/2, math.Abs(b.Ohms-truth)
	c.widths = append(c.widths, half/truth)
	c.errors = append(c.errors, off/truth)
	c.ratios = append(c.ratios, half/max(off, 1e-9*truth))
	if b.Lower > truth*(1+leastBracket) || b.Upper < truth*(1-leastBracket) {
		c.outside++
	}
	if off <= half {
		return false
	}
	c.misses++
	if c.by == nil {
		c.by = map[string]int{}
	}
	c.by[kind]++
	return true
}

func (c *bracketCount) judge(t *testing.T, name string, draws int) {
	t.Helper()
	for _, list := range [][]float64{c.widths, c.errors, c.ratios} {
		slices.Sort(list)
	}
	at := func(list []float64, share float64) float64 { return list[int(share*float64(len(list)-1))] }
	spare := at(c.ratios, 0.01)
	t.Logf(
		"%s: %d of %d brackets miss %v, %d strict bounds do; half-width median %.3f %%, nine in ten below %.3f %%; error median %.4f %%, nine in ten below %.4f %%, worst %.3f %%; half-width over error median %.2g; all of them %.2g times narrower would still hold the truth in 99 of 100",
		name, c.misses, draws, c.by, c.outside, 100*at(c.widths, 0.5), 100*at(c.widths, 0.9), 100*at(c.errors, 0.5),
		100*at(c.errors, 0.9), 100*at(c.errors, 1), at(c.ratios, 0.5), spare,
	)
	if 100*c.misses > draws {
		t.Errorf("%s: %d of %d brackets miss the truth, more than one in a hundred", name, c.misses, draws)
	}
	if spare > 10 {
		t.Errorf("%s: brackets %.3g times narrower would still hold the truth in 99 of 100", name, spare)
	}
}

// TestBracketBesideHairline: a contact as wide as its track's round end leaves
// slivers of copper beside its rim. A bent track with one was 0.3 % off, and no
// refining narrowed its bracket, since thin faces beside the slivers stayed.
func TestBracketBesideHairline(t *testing.T) {
	const within = 0.001
	shape, _ := drawShape(t, 73)
	b := ohmsOf(t, shape, Options{}, within)
	if b.High-b.Low > 2*within*b.Ohms {
		t.Errorf("asked for %g, the bracket is %.7g to %.7g", within, b.Low, b.High)
	}
	// Of a mesh refined to 0.04 % on an outline five times nearer to the drawn.
	near(t, "ohms", b.Ohms, 0.00840738, within)
}
