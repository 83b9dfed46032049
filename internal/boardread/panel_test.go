package boardread

import (
	"fmt"
	"io/fs"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"ohmward/demo"
	"ohmward/geom"
)

// placing is where a panel has a copy: turned by quarters to the left about
// the origin, then moved, millimetres.
type placing struct {
	quarters int
	x, y     float64
}

func (p placing) at(x, y float64) (float64, float64) {
	for range p.quarters {
		x, y = -y, x
	}
	return x + p.x, y + p.y
}

// rows are four copies of the demo board, two by two, 2 mm apart.
var rows = []placing{{0, 0, 0}, {0, 62, 0}, {0, 0, 47}, {0, 62, 47}}

// turnedRows have the same places with each copy turned as it fits: two stand
// on their heads.
var turnedRows = []placing{{0, 0, 0}, {2, 122, 45}, {0, 0, 47}, {2, 122, 92}}

// quarterRows lie turned by a quarter and three.
var quarterRows = []placing{{1, 45, 0}, {3, 47, 60}, {1, 45, 62}, {3, 47, 122}}

// panelled makes a panel of the demo board's files: every image becomes a
// block that is placed once for each copy, every hole is repeated. The
// profile is the caller's where it is not "".
func panelled(t testing.TB, places []placing, profile string) fstest.MapFS {
	t.Helper()
	out := fstest.MapFS{}
	files, err := fs.Glob(demo.Board(), "*")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range files {
		data, err := fs.ReadFile(demo.Board(), name)
		if err != nil {
			t.Fatal(err)
		}
		switch {
		case strings.Contains(name, "profile") && profile != "":
			out[name] = &fstest.MapFile{Data: gerberText("Profile,NP", profile)}
		case strings.HasSuffix(name, ".gbr"):
			out[name] = &fstest.MapFile{Data: blocks(string(data), places)}
		case strings.HasSuffix(name, ".drl"):
			out[name] = &fstest.MapFile{Data: repeatedHits(t, string(data), places)}
		case strings.HasSuffix(name, ".csv"):
			out[name] = &fstest.MapFile{Data: data}
		}
	}
	return out
}

func blocks(text string, places []placing) []byte {
	head, body, _ := strings.Cut(text, "G75*\n")
	body = strings.TrimSuffix(body, "M02*\n")
	var b strings.Builder
	b.WriteString(head + "G75*\n%ABD999*%\n" + body + "%AB*%\n%TD*%\n%LPD*%\nD999*\n")
	for _, p := range places {
		fmt.Fprintf(&b, "%%LR%d*%%\n%s", 90*p.quarters, flash(p.x, p.y))
	}
	return []byte(b.String() + "M02*\n")
}

var hitLine = regexp.MustCompile(`^X([0-9.-]+)Y([0-9.-]+)$`)

func repeatedHits(t testing.TB, text string, places []placing) []byte {
	var b strings.Builder
	for line := range strings.Lines(text) {
		m := hitLine.FindStringSubmatch(strings.TrimSpace(line))
		if m == nil {
			b.WriteString(line)
			continue
		}
		x, err := strconv.ParseFloat(m[1], 64)
		y, err2 := strconv.ParseFloat(m[2], 64)
		if err != nil || err2 != nil {
			t.Fatalf("drill line %q", line)
		}
		for _, p := range places {
			px, py := p.at(x, y)
			fmt.Fprintf(&b, "X%.3fY%.3f\n", px, py)
		}
	}
	return []byte(b.String())
}

// framed is a frame with rails round four copies in rows, each drawn as a
// routed loop.
func framed() string {
	out := "D10*\n" + box(-8, -8, 130, 100)
	for _, p := range rows {
		out += box(p.x, p.y, p.x+60, p.y+45)
	}
	return out
}

// scored is one sheet of two by two boards with V-scores right across,
// without rails or gaps.
func scored() string {
	return "D10*\n" + box(0, 0, 124, 94) + line(0, 47, 124, 47) + line(62, 0, 62, 94)
}

// tabbed is a frame in which slots are routed round the boards but for tabs:
// no board has a closed outline.
func tabbed() string {
	out := "D10*\n" + box(-8, -8, 130, 100)
	for _, y := range []float64{-2, 45, 92} {
		for _, x := range []float64{2, 32, 64, 94} {
			out += box(x, y, x+26, y+2)
		}
	}
	for _, x := range []float64{-2, 60, 122} {
		for _, y := range []float64{2, 49} {
			out += box(x, y, x+2, y+41)
		}
	}
	return out
}

// Every copy taken alone is the demo board, whatever the panel looks like.
func TestEachCopyAlone(t *testing.T) {
	one := demoBoard()
	for _, c := range []struct {
		name    string
		places  []placing
		profile string
		size    [2]float64 // of a copy's outline, mm; 0: not drawn
	}{
		{"rows", rows, "", [2]float64{60, 45}},
		{"heads down", turnedRows, "", [2]float64{60, 45}},
		{"quarters", quarterRows, "", [2]float64{45, 60}},
		{"mixed", []placing{{0, 0, 0}, {0, 0, 47}, {1, 107, 0}}, "", [2]float64{60, 45}},
		{"frame", rows, framed(), [2]float64{60, 45}},
		{"scored", []placing{{0, 1, 1}, {0, 63, 1}, {0, 1, 48}, {0, 63, 48}}, scored(), [2]float64{62, 47}},
		{"tabs", rows, tabbed(), [2]float64{}},
	} {
		t.Run(c.name, func(t *testing.T) {
			if testing.Short() && c.name != "mixed" {
				t.Skip("left out in short runs: it takes many seconds")
			}
			set := panelled(t, c.places, c.profile)
			for k := range c.places {
				b := mustRead(t, set, Options{Copy: k + 1})
				if len(b.Copies) != len(c.places) || b.Copy != k+1 {
					t.Fatalf("copy %d: %d copies, read %d", k+1, len(b.Copies), b.Copy)
				}
				box := b.Outline.Bounds()
				w, h := float64(box.Max.X-box.Min.X)*1e-6, float64(box.Max.Y-box.Min.Y)*1e-6
				size := c.size
				if b.Copies[k].Turned {
					size[0], size[1] = size[1], size[0]
				}
				if c.size[0] > 0 && (abs(int64(1e6*(w-size[0]))) > 60_000 || abs(int64(1e6*(h-size[1]))) > 60_000) {
					t.Errorf("copy %d is %.3f x %.3f mm", k+1, w, h)
				}
				if len(b.Holes) != len(one.Holes) || len(b.Pads) != len(one.Pads) || len(b.Parts) != len(one.Parts) || len(b.Labels) != len(one.Labels) {
					t.Errorf("copy %d: %d holes, %d pads, %d parts, %d labels; the board alone has %d, %d, %d, %d", k+1,
						len(b.Holes), len(b.Pads), len(b.Parts), len(b.Labels), len(one.Holes), len(one.Pads), len(one.Parts), len(one.Labels))
				}
				for l := range b.Layers {
					got, want := b.Layers[l].Copper.Area(), one.Layers[l].Copper.Area()
					if got < want*(1-1e-4) || got > want*(1+1e-4) {
						t.Errorf("copy %d: %.4g nm2 of copper on L%d, want %.4g", k+1, got, l+1, want)
					}
				}
				for i := range b.Parts {
					if b.Parts[i].Ref != one.Parts[i].Ref || b.Parts[i].Value != one.Parts[i].Value || b.Parts[i].Side != one.Parts[i].Side || len(b.Parts[i].Pads) != len(one.Parts[i].Pads) {
						t.Errorf("copy %d: part %+v, want %+v", k+1, b.Parts[i].Ref, one.Parts[i].Ref)
					}
				}
				for _, d := range b.Doubts {
					t.Errorf("copy %d: doubt %+v", k+1, d)
				}
			}
		})
	}
}

// All copies together have their parts and nets apart.
func TestAllCopies(t *testing.T) {
	one := demoBoard()
	places := rows
	if testing.Short() {
		places = rows[:2]
	}
	n := len(places)
	set := panelled(t, places, "")
	b := mustRead(t, set, Options{})
	if len(b.Copies) != n || !hasDoubt(b, fmt.Sprintf("a panel of %d copies", n), "60.0 x 45.0 mm", "unless a copy is chosen") {
		t.Fatalf("%d copies, doubts %v", len(b.Copies), b.Doubts)
	}
	if len(b.Parts) != n*len(one.Parts) || len(b.Pads) != n*len(one.Pads) || len(b.Holes) != n*len(one.Holes) {
		t.Errorf("%d parts, %d pads, %d holes; want %d times %d, %d, %d", len(b.Parts), len(b.Pads), len(b.Holes), n, len(one.Parts), len(one.Pads), len(one.Holes))
	}
	nets := map[string]geom.Box{}
	for _, l := range b.Labels {
		box, ok := nets[l.Net]
		if !ok {
			box = geom.EmptyBox()
		}
		nets[l.Net] = box.Extend(l.At)
	}
	for name, box := range nets {
		in := 0
		for _, c := range b.Copies {
			if g := c.Box.Grow(100_000); g.Holds(box.Min) && g.Holds(box.Max) {
				in++
			}
		}
		if in != 1 {
			t.Errorf("net %s reaches over %d copies", name, in)
		}
	}
	values := map[string]string{}
	for _, p := range b.Parts {
		values[p.Ref] = p.Value
	}
	if last := fmt.Sprintf("F1#%d", n); values[last] == "" || values[last] != values["F1"] {
		t.Errorf("%s is %q, F1 %q", last, values[last], values["F1"])
	}
	if b := mustRead(t, set, Options{Copy: AllCopies}); hasDoubt(b, "panel") {
		t.Errorf("--copy all leaves the doubt: %v", b.Doubts)
	}
	if _, err := Read(set, "panel", Options{Copy: n + 1}); err == nil || !strings.Contains(err.Error(), fmt.Sprintf("the panel holds %d", n)) {
		t.Errorf("copy %d of %d: %v", n+1, n, err)
	}
	if _, err := Read(demo.Board(), "one", Options{Copy: 2}); err == nil || !strings.Contains(err.Error(), "holds one board") {
		t.Errorf("copy 2 of one board: %v", err)
	}
	chosen := put(set, RolesFile, fmt.Appendf(nil, "copy = %d\n", n))
	if b := mustRead(t, chosen, Options{}); b.Copy != n || len(b.Parts) != len(one.Parts) {
		t.Errorf("copy = %d in %s: copy %d, %d parts", n, RolesFile, b.Copy, len(b.Parts))
	}
	if b := mustRead(t, chosen, Options{Copy: 1}); b.Copy != 1 {
		t.Errorf("the flag does not win: copy %d", b.Copy)
	}
}

// Two like tiles over one plane are one board, and so are like cells with
// tracks between them.
func TestNoPanel(t *testing.T) {
	plot := func(x float64) string {
		out := "D12*\n"
		for i := range 12 {
			out += flash(x+1+float64(i)*1.5, 8)
		}
		return out + "D10*\n" + line(x+1, 8, x+1, 12) + line(x+2.5, 8, x+2.5, 12) + line(x+4, 8, x+4, 12) + line(x+5.5, 8, x+17, 14)
	}
	plane := "G36*\n" + xy(0, 0) + "D02*\n" + xy(42, 0) + "D01*\n" + xy(42, 16) + "D01*\n" + xy(0, 16) + "D01*\n" + xy(0, 0) + "D01*\nG37*\n"
	tracks := "D10*\n"
	for i := range 6 {
		tracks += line(15, 3+float64(i), 25, 3+float64(i))
	}
	alone := put(smallBoard(), "b.drl", drillText("T1\nX1.0Y8.0\n"))
	alone = put(alone, "b-bottom.gbr", gerberText("Copper,L2,Bot", "D13*\n"+flash(1, 8)+flash(23, 8)))
	for name, c := range map[string]struct {
		extra  string
		copies int
	}{"apart": {"", 2}, "a plane": {plane, 0}, "tracks": {tracks, 0}} {
		for _, profile := range []string{box(-1, -1, 43, 17), box(0, 0, 20, 16) + box(22, 0, 42, 16)} {
			set := put(put(alone, "b-top.gbr", gerberText("Copper,L1,Top", plot(0)+plot(22)+c.extra)), "b-profile.gbr", gerberText("Profile,NP", "D10*\n"+profile))
			if b := mustRead(t, set, Options{}); len(b.Copies) != c.copies {
				t.Errorf("%s: %d copies, want %d; doubts %v", name, len(b.Copies), c.copies, b.Doubts)
			}
		}
	}
}
