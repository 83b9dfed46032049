package gerber

import (
	"bufio"
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"ohmward/geom"
	"ohmward/internal/check"
)

// seen is what the second reader says of a file; see
// testdata/second-reader.js, whose names these are.
type seen struct {
	File     string
	MM       float64
	Flashes  int
	Box      []float64
	Error    string
	Warnings []string
	Tools    map[string][]seenPrimitive
	Objects  []seenObject
}

type seenPrimitive struct {
	Dark    bool
	Circle  []float64
	Obround []float64
	Polygon [][2]float64
}

type seenObject struct {
	Dark    bool
	Tool    string
	At      [2]float64
	Width   float64
	Way     [][2]float64
	Contour [][2]float64
}

// secondReader finds node and the library, or skips.
func secondReader(t *testing.T) (node, folder string) {
	t.Helper()
	node, err := exec.LookPath("node")
	if err != nil {
		t.Skip("node is not installed: layers are not compared with a second reader")
	}
	folder = os.Getenv("OHMWARD_SECOND_READER")
	if _, err := os.Stat(filepath.Join(folder, "node_modules", "gerber-plotter")); folder == "" || err != nil {
		t.Skip("OHMWARD_SECOND_READER names no folder with npm's gerber-parser and gerber-plotter (scripts/test makes one): layers are not compared")
	}
	return node, folder
}

// compareLayers hands what the second reader and ours see of each file to
// judge.
func compareLayers(t *testing.T, files []string, judge func(seen, *Image)) {
	node, folder := secondReader(t)
	cmd := exec.Command(node, append([]string{"testdata/second-reader.js", folder}, files...)...)
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	cmd.Stderr = os.Stderr
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewReader(out)
	for range files {
		line, err := lines.ReadBytes('\n')
		if err != nil {
			t.Fatal(err)
		}
		var s seen
		if err := json.Unmarshal(line, &s); err != nil {
			t.Fatal(err)
		}
		in, err := os.Open(s.File)
		if err != nil {
			t.Fatal(err)
		}
		img, err := Read(in, filepath.Base(s.File))
		in.Close()
		if err != nil {
			t.Fatal(err)
		}
		judge(s, img)
	}
	if err := cmd.Wait(); err != nil {
		t.Fatal(err)
	}
}

// TestSecondReader compares every layer of the shared boards with an
// independent library: flashes, extents, and painted area within 0.1 %.
//
// The library reads the file, resolves apertures and macros and finds centres
// of arcs; it does not unite shapes. They are painted here by geom, which is
// itself held against GEOS to 1e-8 (geom's tests), from outlines made in this
// file, where circles are polygons of the same area.
func TestSecondReader(t *testing.T) {
	boards := filepath.Join(check.Shared(t), "checks", "boards")
	all, _ := filepath.Glob(filepath.Join(boards, "*", "*.[gG]*"))
	var files []string
	for _, f := range all {
		if filepath.Ext(f) != ".gbrjob" {
			files = append(files, f)
		}
	}
	if len(files) < 80 {
		t.Fatalf("only %d files found", len(files))
	}
	draws := check.Draws(t, len(files)/8, len(files)/4, len(files))
	for i := range draws {
		files[i] = files[i*len(files)/draws]
	}
	files = files[:draws]
	compareLayers(t, files, func(s seen, img *Image) {
		name, _ := filepath.Rel(boards, s.File)
		compare(t, name, s, img)
	})
}

func compare(t *testing.T, name string, s seen, img *Image) {
	if s.Error != "" {
		t.Errorf("%s: the second reader fails: %s", name, s.Error)
		return
	}
	for _, w := range s.Warnings {
		if strings.Contains(w, "ignoring interpolate") || strings.Contains(w, "impossible arc") || strings.Contains(w, "not defined") {
			t.Errorf("%s: the second reader leaves something out: %s", name, w)
		}
	}
	if n := count(img)[Flash]; n != s.Flashes {
		t.Errorf("%s: %d flashes, the second reader has %d", name, n, s.Flashes)
	}
	coats := s.coats()
	box, want := img.Bounds, s.bounds(coats)
	if off := apart(box, want); off > 300 {
		t.Errorf("%s: extents %v, the second reader has %v", name, box, want)
	}
	got, other := square(painted(img)), square(geom.Paint(coats))
	t.Logf("%s: area %.6f mm2, the second reader has %.6f", name, got, other)
	if math.Abs(got-other) > 0.001*other {
		t.Errorf("%s: area %.6f mm2, the second reader has %.6f (%+.3f %%)", name, got, other, 100*(got/other-1))
	}
}

// apart is how far two boxes differ, nanometres.
func apart(a, b geom.Box) int64 {
	if a.Empty() || b.Empty() {
		if a.Empty() == b.Empty() {
			return 0
		}
		return math.MaxInt64
	}
	off := int64(0)
	for _, d := range []int64{a.Min.X - b.Min.X, a.Min.Y - b.Min.Y, a.Max.X - b.Max.X, a.Max.Y - b.Max.Y} {
		off = max(off, d, -d)
	}
	return off
}

// bounds is the library's own box, which counts what only clears; where
// something does, it is the box of the library's dark shapes.
func (s seen) bounds(coats []geom.Coat) geom.Box {
	dark, clears := geom.EmptyBox(), false
	for _, c := range coats {
		if clears = clears || !c.Dark; c.Dark {
			dark = dark.Join(geom.Bounds(c.Rings))
		}
	}
	if clears {
		return dark
	}
	if len(s.Box) != 4 {
		return geom.EmptyBox()
	}
	return geom.Box{Min: geom.FromMM(s.Box[0]*s.MM, s.Box[1]*s.MM), Max: geom.FromMM(s.Box[2]*s.MM, s.Box[3]*s.MM)}
}

func (s seen) place(p [2]float64) geom.Point { return geom.FromMM(p[0]*s.MM, p[1]*s.MM) }

func (s seen) ring(places [][2]float64) geom.Ring {
	ring := make(geom.Ring, len(places))
	for i, p := range places {
		ring[i] = s.place(p)
	}
	return ccw(ring)
}

// disc is a polygon of 64 corners with the area of its circle.
func (s seen) disc(x, y, r float64) geom.Ring {
	const n = 64
	grown := r * math.Sqrt(2*math.Pi/n/math.Sin(2*math.Pi/n))
	places := make([][2]float64, n)
	for k := range places {
		a := 2 * math.Pi * float64(k) / n
		places[k] = [2]float64{x + grown*math.Cos(a), y + grown*math.Sin(a)}
	}
	return s.ring(places)
}

// strip is a line of a width without its round ends.
func (s seen) strip(a, b [2]float64, width float64) []geom.Ring {
	l := math.Hypot(b[0]-a[0], b[1]-a[1])
	if l == 0 {
		return nil
	}
	nx, ny := -(b[1]-a[1])/l*width/2, (b[0]-a[0])/l*width/2
	return []geom.Ring{s.ring([][2]float64{{a[0] - nx, a[1] - ny}, {b[0] - nx, b[1] - ny}, {b[0] + nx, b[1] + ny}, {a[0] + nx, a[1] + ny}})}
}

func (s seen) coats() []geom.Coat {
	tools := map[string][]geom.Ring{}
	for code, primitives := range s.Tools {
		tools[code] = s.pad(primitives)
	}
	var coats []geom.Coat
	for _, o := range s.Objects {
		var rings []geom.Ring
		switch {
		case o.Contour != nil:
			rings = []geom.Ring{s.ring(o.Contour)}
		case o.Tool != "":
			rings = move(tools[o.Tool], s.place(o.At))
		case o.Width > 0:
			for i, p := range o.Way {
				if i > 0 {
					rings = append(rings, s.strip(o.Way[i-1], p, o.Width)...)
				}
				rings = append(rings, s.disc(p[0], p[1], o.Width/2))
			}
		}
		coats = append(coats, geom.Coat{Dark: o.Dark, Rings: rings})
	}
	return coats
}

func (s seen) pad(primitives []seenPrimitive) []geom.Ring {
	var coats []geom.Coat
	for _, p := range primitives {
		var rings []geom.Ring
		switch {
		case p.Circle != nil:
			rings = append(rings, s.disc(p.Circle[0], p.Circle[1], p.Circle[2]))
		case p.Obround != nil:
			x, y, w, h := p.Obround[0], p.Obround[1], p.Obround[2], p.Obround[3]
			d := min(w, h)
			a, b := [2]float64{x - (w-d)/2, y - (h-d)/2}, [2]float64{x + (w-d)/2, y + (h-d)/2}
			rings = append(s.strip(a, b, d), s.disc(a[0], a[1], d/2), s.disc(b[0], b[1], d/2))
		default:
			rings = append(rings, s.ring(p.Polygon))
		}
		coats = append(coats, geom.Coat{Dark: p.Dark, Rings: rings})
	}
	var out []geom.Ring
	geom.Paint(coats).Rings(func(r geom.Ring) { out = append(out, r) })
	return out
}
