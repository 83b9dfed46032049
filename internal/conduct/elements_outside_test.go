package conduct

import (
	"context"
	"encoding/json"
	"errors"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"ohmward/geom"
)

// sketch is a shape as data, in millimetres, for our solver and another.
type sketch struct {
	What   string
	Layers []struct {
		Conductance float64
		Outline     [][2]float64
		Holes       [][][2]float64
		Circles     [][3]float64 // x, y, diameter
	}
	Barrels []struct {
		At   [3]float64
		Ohms float64
	}
	From, To electrode
}

// electrode is a straight edge of the copper or the rim of a hole.
type electrode struct {
	Layer  int
	Edge   *[4]float64
	Circle *[3]float64
}

func readSketch(t *testing.T, file string) sketch {
	t.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var s sketch
	if err := json.Unmarshal(text, &s); err != nil {
		t.Fatalf("%s: %v", file, err)
	}
	return s
}

func ringOf(points [][2]float64) geom.Ring {
	var r geom.Ring
	for _, p := range points {
		r = append(r, geom.FromMM(p[0], p[1]))
	}
	return r
}

// group is the sketch's copper, the contacts being its two electrodes.
func (s sketch) group() (Group, []Disc) {
	g := Group{Name: s.What}
	for i, l := range s.Layers {
		var holes []geom.Ring
		for _, h := range l.Holes {
			holes = append(holes, ringOf(h))
		}
		for _, c := range l.Circles {
			holes = append(holes, geom.Circle(geom.FromMM(c[0], c[1]), int64(c[2]/2*1e6), 100))
		}
		sheet := geom.Difference(
			geom.Fill([]geom.Ring{ringOf(l.Outline)}, geom.NonZero), geom.Fill(holes, geom.NonZero),
		)
		g.Sheets = append(g.Sheets, Sheet{Layer: i, Conductance: l.Conductance, Copper: sheet})
	}
	for _, b := range s.Barrels {
		at := geom.FromMM(b.At[0], b.At[1])
		g.Barrels = append(
			g.Barrels, Barrel{At: at, To: at, Diameter: int64(b.At[2] * 1e6), LastLayer: 1, Ohms: []float64{b.Ohms}},
		)
	}
	var discs []Disc
	for _, e := range []electrode{s.From, s.To} {
		b := Barrel{FirstLayer: e.Layer, LastLayer: e.Layer}
		if e.Circle != nil {
			b.At, b.Diameter = geom.FromMM(e.Circle[0], e.Circle[1]), int64(e.Circle[2]*1e6)
			b.To = b.At
		} else {
			b.At, b.To = edgeSlot(*e.Edge, s.Layers[e.Layer].Outline)
			b.Diameter = electrodeWidth
		}
		g.Barrels = append(g.Barrels, b)
		discs = append(discs, Disc{Layer: e.Layer, At: b.At})
	}
	return g, discs
}

// elements asks the other program for the resistance on two meshes; it skips
// the test where the packages are missing.
func elements(t *testing.T, file string) (coarse, fine float64) {
	t.Helper()
	python := "/usr/bin/python3"
	if _, err := os.Stat(python); err != nil {
		python = "python3"
	}
	out, err := exec.Command(python, filepath.Join("testdata", "outside", "finite_elements.py"), file).Output()
	var exit *exec.ExitError
	switch {
	case errors.Is(err, exec.ErrNotFound) || errors.As(err, &exit) && exit.ExitCode() == 77:
		t.Skip("skipped: needs Debian's python3-getfem, python3-gmsh and python3-scipy")
	case errors.As(err, &exit):
		t.Fatalf("finite_elements.py: %v\n%s", err, exit.Stderr)
	case err != nil:
		t.Fatal(err)
	}
	var answer struct{ Ohms [2]float64 }
	if err := json.Unmarshal(out, &answer); err != nil {
		t.Fatalf("finite_elements.py: %v in %q", err, out)
	}
	return answer.Ohms[0], answer.Ohms[1]
}

// Outside check: quadratic elements of GetFEM on meshes of Gmsh, both general
// purpose. Their own error is taken as a third of the change to the mesh twice
// as fine: order two, where round holes alone have four and the inner corners
// are meshed 60 times finer than the rest.
func TestFiniteElements(t *testing.T) {
	if testing.Short() {
		t.Skip("skipped: the other program takes several seconds a shape")
	}
	for _, name := range []string{"l_with_hole", "plate_with_antipads", "two_layers"} {
		t.Run(name, func(t *testing.T) {
			file := filepath.Join("testdata", "outside", name+".json")
			coarse, want := elements(t, file)
			theirs := math.Abs(want-coarse) / 3
			if theirs > 2e-4*want {
				t.Fatalf("the other program has not converged: %.8g, then %.8g ohm", coarse, want)
			}
			g, discs := readSketch(t, file).group()
			c, err := Solve(context.Background(), g, Options{Discs: discs}, [][2]int{{0, 1}}, 0.001)
			if err != nil {
				t.Fatal(err)
			}
			r, err := c.Resistance(0, 1)
			if err != nil {
				t.Fatal(err)
			}
			Row(t, "elements", strings.ReplaceAll(name, "_", " "), want, r)
			if r.Low > want+theirs || r.High < want-theirs {
				t.Errorf("%.8g ohm is outside the bracket %.8g to %.8g", want, r.Low, r.High)
			}
			if e := math.Abs(r.Ohms/want - 1); e > 0.001 {
				t.Errorf("got %.8g ohm, want %.8g: %.2g off", r.Ohms, want, e)
			}
		})
	}
}
