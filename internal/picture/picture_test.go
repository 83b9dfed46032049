package picture

import (
	"bytes"
	"encoding/xml"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"
	"os"
	"path/filepath"
	"testing"

	"ohmward/geom"
)

func drawn(t *testing.T, s *Scene) (image.Image, layout) {
	t.Helper()
	var b bytes.Buffer
	if err := PNG(&b, s); err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(&b)
	if err != nil {
		t.Fatal(err)
	}
	return img, newLayout(s)
}

// TestInks: copper of either net, its lack, and the laminate's outside are
// where the scene has them.
func TestInks(t *testing.T) {
	s := demoScene()
	s.Density, s.Next, s.Taken, s.Best = nil, nil, nil, nil
	img, l := drawn(t, s)
	behind := over(netInks[1], laminate, behindShare[1])
	for _, c := range []struct {
		name string
		x, y float64
		want color.NRGBA
	}{
		{"supply", 20, 8, over(netInks[0], behind, faceShare[0])},
		{"ground over ground", 26, 15, over(netInks[1], behind, faceShare[1])},
		{"laminate beside the supply, ground behind", 6.6, 20, behind},
		{"hole", 9, 13, paper},
		{"outside", -1, 20, paper},
	} {
		q := l.main.at(mm(c.x, c.y))
		got := color.NRGBAModel.Convert(img.At(int(q.x), int(q.y))).(color.NRGBA)
		if far(got, c.want) > 3 {
			t.Errorf("%s at (%g, %g) mm: got %v, want %v", c.name, c.x, c.y, got, c.want)
		}
	}
}

// over paints a share of an ink on a ground.
func over(ink, ground color.NRGBA, part float64) color.NRGBA {
	mix := func(a, b uint8) uint8 { return uint8(math.Round(float64(a)*part + float64(b)*(1-part))) }
	return color.NRGBA{mix(ink.R, ground.R), mix(ink.G, ground.G), mix(ink.B, ground.B), 0xff}
}

func far(a, b color.NRGBA) int {
	d := func(x, y uint8) int { return max(int(x)-int(y), int(y)-int(x)) }
	return max(d(a.R, b.R), d(a.G, b.G), d(a.B, b.B))
}

// TestGrey: the inks that must be told apart differ in lightness (CIE L*) by
// at least 15 of 100 (common practice, no source).
func TestGrey(t *testing.T) {
	lightness := func(c color.NRGBA) float64 {
		lin := func(v uint8) float64 {
			x := float64(v) / 255
			if x <= 0.04045 {
				return x / 12.92
			}
			return math.Pow((x+0.055)/1.055, 2.4)
		}
		y := 0.2126*lin(c.R) + 0.7152*lin(c.G) + 0.0722*lin(c.B)
		return 116*math.Cbrt(y) - 16
	}
	first, second := over(netInks[0], laminate, faceShare[0]), over(netInks[1], laminate, faceShare[1])
	for _, pair := range [][2]color.NRGBA{
		{first, second}, {first, laminate}, {second, laminate}, {heat, second}, {heat, laminate}, {first, over(netInks[0], laminate, behindShare[0])},
	} {
		if d := math.Abs(lightness(pair[0]) - lightness(pair[1])); d < 15 {
			t.Errorf("%v and %v differ by %.0f in lightness", pair[0], pair[1], d)
		}
	}
}

// TestTurnedOver: a scene seen from below is the mirror of the one from
// above.
func TestTurnedOver(t *testing.T) {
	s := demoScene()
	v := newLayout(s).main
	s.Bottom = true
	m := newLayout(s).main
	for _, p := range []geom.Point{mm(0, 0), mm(60, 45), mm(36.2, 24.1)} {
		a, b := v.at(p), m.at(p)
		if math.Abs(a.y-b.y) > 1e-9 || math.Abs((a.x+b.x)/2-(v.frame.x+v.frame.w/2)) > 1e-9 {
			t.Errorf("%v: %v above, %v below", p, a, b)
		}
	}
}

// TestSVG: well-formed, the same every time, and no number that is none.
func TestSVG(t *testing.T) {
	var a, b bytes.Buffer
	if err := SVG(&a, demoScene()); err != nil {
		t.Fatal(err)
	}
	if err := SVG(&b, demoScene()); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Error("two drawings of one scene differ")
	}
	if bytes.Contains(a.Bytes(), []byte("NaN")) || bytes.Contains(a.Bytes(), []byte("Inf")) {
		t.Error("a coordinate is no number")
	}
	d := xml.NewDecoder(&a)
	for {
		if _, err := d.Token(); err == io.EOF {
			break
		} else if err != nil {
			t.Fatal(err)
		}
	}
}

// TestOdd: scenes with little or nothing in them are drawn too.
func TestOdd(t *testing.T) {
	for name, s := range map[string]*Scene{
		"nothing":    {},
		"one place":  {Next: []Mark{{At: mm(3, 3), Sign: "R"}}},
		"a line":     {Outline: geom.Region{{Outer: geom.Ring{mm(0, 0), mm(50, 0), mm(50, 0)}}}},
		"best alone": {Best: &Best{At: mm(5, 5)}, Outline: geom.Region{{Outer: block(0, 0, 900, 2)}}},
		"three nets": {Nets: make([]Net, 3)},
		"odd text":   {Title: "<&\x01\xff>", Caption: string(make([]byte, 5000))},
		"no weight":  {Density: []Sample{{mm(1, 1), 0}, {mm(1, 1), math.Inf(1)}}},
	} {
		var p, v bytes.Buffer
		if err := PNG(&p, s); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if err := SVG(&v, s); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// TestPlacedApart: labels keep off each other and inside the frame.
func TestPlacedApart(t *testing.T) {
	frame := rect{0, 0, 800, 600}
	var taken []rect
	for i := range 6 {
		box := place(pt{400 + 5*float64(i), 300}, 20, 90, 30, frame, taken)
		if !box.inside(frame) {
			t.Errorf("label %d at %v leaves the frame", i, box)
		}
		for j, o := range taken {
			if box.overlap(o) > 0 {
				t.Errorf("labels %d and %d overlap", i, j)
			}
		}
		taken = append(taken, box)
	}
	if box := place(pt{795, 5}, 20, 90, 30, frame, nil); !box.inside(frame) {
		t.Errorf("label in the corner leaves the frame: %v", box)
	}
}

func TestMerged(t *testing.T) {
	at := mm(1, 1)
	got := merged([]Mark{{At: at, Sign: "1"}, {At: mm(2, 2), Sign: "1"}, {At: at, Sign: "2"}, {At: at, Sign: "2"}, {At: at, Sign: "12"}})
	if len(got) != 2 || got[0].Sign != "1 2 12" || got[1].Sign != "1" {
		t.Errorf("merged: %+v", got)
	}
}

// TestSave leaves the picture alone in its folder, or nothing.
func TestSave(t *testing.T) {
	dir := t.TempDir()
	if err := Save(filepath.Join(dir, "x.bmp"), demoScene()); err == nil {
		t.Error("drew a .bmp")
	}
	if err := Save(filepath.Join(dir, "none", "x.png"), demoScene()); err == nil {
		t.Error("drew into a folder that is not there")
	}
	for _, name := range []string{"x.png", "X.SVG"} {
		if err := Save(filepath.Join(dir, name), demoScene()); err != nil {
			t.Error(err)
		}
	}
	if files, _ := os.ReadDir(dir); len(files) != 2 {
		t.Errorf("%d files left", len(files))
	}
	if keep := os.Getenv("OHMWARD_PICTURES"); keep != "" { // to look at
		for _, name := range []string{"demo.png", "demo.svg"} {
			if err := Save(filepath.Join(keep, name), demoScene()); err != nil {
				t.Error(err)
			}
		}
	}
}

// TestBothSides: where both sides are touched the top stands on the left and
// the bottom, mirrored, on the right, whichever comes first; both are named.
func TestBothSides(t *testing.T) {
	for _, bottomFirst := range []bool{false, true} {
		s, other := demoScene(), demoScene()
		s.Bottom, other.Bottom = bottomFirst, !bottomFirst
		other.Best, other.Next = nil, other.Next[:1]
		s.Other = other
		img, l := drawn(t, s)
		top, bottom := l.main, *l.other
		if bottomFirst {
			top, bottom = bottom, top
		}
		if top.mirror || !bottom.mirror || top.frame.x+top.frame.w > bottom.frame.x || top.frame.y != bottom.frame.y {
			t.Errorf("top %+v, bottom %+v", top, bottom)
		}
		for _, f := range []rect{top.frame, bottom.frame, l.near.frame} {
			if !f.inside(rect{0, 0, width, float64(img.Bounds().Dy())}) {
				t.Errorf("%+v is off the picture", f)
			}
		}
		if l.near.frame.overlap(top.frame)+l.near.frame.overlap(bottom.frame) > 0 {
			t.Error("the close-up covers a map")
		}
		ink := func(v view, at geom.Point) color.NRGBA {
			q := v.at(at)
			return color.NRGBAModel.Convert(img.At(int(q.x), int(q.y))).(color.NRGBA)
		}
		for _, m := range s.Next { // the point of each touch is on its own side
			if got := ink(l.main, m.At); far(got, redLead) > 3 && far(got, blackLead) > 3 {
				t.Errorf("no mark at %v: %v", m.At, got)
			}
		}
		if got := ink(*l.other, s.Next[1].At); far(got, blackLead) <= 3 {
			t.Errorf("the other side shows %v too: %v", s.Next[1].At, got)
		}
		var text bytes.Buffer
		if err := SVG(&text, s); err != nil {
			t.Fatal(err)
		}
		for _, want := range []string{">top<", "bottom: turn the board over"} {
			if !bytes.Contains(text.Bytes(), []byte(want)) {
				t.Errorf("%q is not written", want)
			}
		}
	}
}

// TestLabelsClear: a label stands near its place, and on no pad that is named.
func TestLabelsClear(t *testing.T) {
	s := demoScene()
	v := newLayout(s).main
	for _, size := range []int64{300_000, 1_000_000, 3_000_000} {
		pads := []rect{}
		for _, m := range s.Next {
			pads = append(pads, v.box(geom.Box{Min: m.At, Max: m.At}.Grow(size)))
		}
		for _, m := range s.Next {
			box, at := nextBox(m, v, pads), v.at(m.At)
			for _, p := range pads {
				if box.overlap(p) > 0 {
					t.Errorf("pads of %d nm: the label of %v covers one", 2*size, m.At)
				}
			}
			far := math.Hypot(box.x+box.w/2-at.x, box.y+box.h/2-at.y)
			if far > v.length(size)*1.5+200 {
				t.Errorf("pads of %d nm: the label stands %.0f pixels off", 2*size, far)
			}
		}
	}
}
