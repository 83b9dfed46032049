package gerber

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"ohmward/geom"
)

// painted gives the dark area of an image.
func painted(img *Image) geom.Region {
	var coats []geom.Coat
	for _, o := range img.Objects {
		coats = append(coats, geom.Coat{Dark: o.Dark, Rings: o.Rings})
	}
	return geom.Paint(coats)
}

func mustRead(t *testing.T, text string) *Image {
	t.Helper()
	img, err := Read(strings.NewReader(text), "test.gbr")
	if err != nil {
		t.Fatal(err)
	}
	return img
}

func readFile(t *testing.T, path string, allowed ...string) *Image {
	t.Helper()
	in, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer in.Close()
	img, err := Read(in, filepath.Base(path))
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range img.Warnings {
		if len(allowed) == 0 || !strings.Contains(w.What, allowed[0]) {
			t.Errorf("%s: warning %v", path, w)
		}
	}
	return img
}

// square is an area in mm2.
func square(r geom.Region) float64 { return r.Area() * 1e-12 }

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %.7f, want %.7f within %g", what, got, want, tol)
	}
}

func bounds(t *testing.T, b geom.Box, x0, y0, x1, y1 float64) {
	t.Helper()
	want := geom.Box{Min: geom.FromMM(x0, y0), Max: geom.FromMM(x1, y1)}
	if b != want {
		t.Errorf("bounds %v, want %v", b, want)
	}
}

func count(img *Image) (n [4]int) {
	for _, o := range img.Objects {
		n[o.Kind]++
	}
	return n
}

// REFERENCES E1, example 1: Gerber specification, "Two square boxes".
func TestSpecTwoSquareBoxes(t *testing.T) {
	img := readFile(t, "testdata/spec/two-square-boxes.gbr")
	if n := count(img); n != [4]int{0, 8, 0, 0} || !img.Complete {
		t.Errorf("objects %v, complete %v", n, img.Complete)
	}
	bounds(t, img.Bounds, -0.005, -0.005, 11.005, 5.005)
	// Each of the eight round corners loses a quarter of what an inscribed
	// polygon of 12 sides loses: (pi - 3) r2 / 4 = 8.8e-7 mm2.
	near(t, "area", square(painted(img)), 0.3999571, 8*9e-7)
}

// REFERENCES E1, example 2: Gerber specification, "Polarities and Apertures".
func TestSpecPolaritiesAndApertures(t *testing.T) {
	img := readFile(t, "testdata/spec/polarities-and-apertures.gbr")
	if n := count(img); n != [4]int{14, 6, 1, 2} || !img.Complete {
		t.Errorf("objects %v, complete %v", n, img.Complete)
	}
	bounds(t, img.Bounds, -0.05, -0.05, 42.55, 37.5)
	dark := painted(img)
	near(t, "dark area", square(dark), 406.4645, 0.0001)
	below := geom.Fill([]geom.Ring{geom.Rectangle(geom.Box{Min: geom.FromMM(-1, -1), Max: geom.FromMM(50, 20)})}, geom.NonZero)
	near(t, "below y=20", square(geom.Intersection(dark, below)), 7.25462, 1e-5)
	for _, o := range img.Objects {
		if !o.Dark {
			near(t, "clear region", square(painted(&Image{Objects: []Object{{Dark: true, Rings: o.Rings}}})), 170.74806, 1e-5)
		}
	}
}

// REFERENCES E1: the two moires of an earlier revision, 0.75994 mm2 each.
func TestSpecMoire(t *testing.T) {
	img := mustRead(t, header+"%AMM*6,0,0,1.25,.1,.1,3,.03,1.5,0*%\n%ADD10M*%\nD10*\nX0Y0D03*\nM02*\n")
	near(t, "moire", square(painted(img)), 0.75994, 1e-5)
}

const header = "%FSLAX36Y36*%\n%MOMM*%\n"

// REFERENCES E1, row Areas.
func TestSpecApertureAreas(t *testing.T) {
	for _, c := range []struct {
		name, text string
		want, tol  float64 // mm2
	}{
		{"C .6", "%ADD10C,0.6*%D10*X0Y0D03*", 0.282743, 1e-6},
		{"O .4x1", "%ADD10O,0.4X1*%D10*X0Y0D03*", 0.365664, 1e-6},
		{"P 1x3", "%ADD10P,1X3*%D10*X0Y0D03*", 0.324760, 1e-6},
		{"P 1x6", "%ADD10P,1X6*%D10*X0Y0D03*", 0.649519, 1e-6},
		{"P 1x8", "%ADD10P,1X8*%D10*X0Y0D03*", 0.707107, 2e-6},
		{"thermal", "%AMT*7,0,0,0.8,0.55,0.125,45*%%ADD10T*%D10*X0Y0D03*", 0.202196, 1e-5},
		{"draw 5 mm", "%ADD10C,0.1*%D10*X0Y0D02*X3000000Y4000000D01*", 0.507854, 2e-6},
	} {
		near(t, c.name, square(painted(mustRead(t, header+c.text+"M02*"))), c.want, c.tol)
	}
}
