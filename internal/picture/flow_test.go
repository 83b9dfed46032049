package picture

import (
	"bytes"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"testing"

	"ohmward/geom"
)

func demoFlow() *Flow {
	bar := func(x0, x1 float64) geom.Ring { return block(x0, 4, x1, 6) }
	return &Flow{
		Title: "1 A from C1.1 to C2.1", Caption: []string{"one", "two"}, Unit: "A/mm of width",
		Box: geom.Box{Min: mm(0, 0), Max: mm(20, 10)}, Levels: []string{"0.1", "1"},
		Outline: geom.Region{{Outer: block(0, 0, 20, 10)}},
		Panels: []Panel{{
			Name: "L1, top", Copper: geom.Region{{Outer: bar(1, 19)}},
			Above: [][]geom.Ring{{bar(5, 15)}, {bar(8, 12)}},
			Marks: []Mark{{At: mm(1.5, 5), Lead: Red, Sign: "I+", Text: "C1.1"}},
			Notes: []Mark{{At: mm(18.5, 5), Sign: "hottest"}},
		}},
	}
}

// TestFlowInks: still copper, each level and bare laminate have their inks.
func TestFlowInks(t *testing.T) {
	path := filepath.Join(t.TempDir(), "flow.png")
	f := demoFlow()
	f.Panels[0].Marks, f.Panels[0].Notes = nil, nil
	if err := SaveFlow(path, f); err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	v := f.layout().views[0]
	for _, c := range []struct {
		x    float64
		y    float64
		want color.NRGBA
	}{{3, 5, idle}, {6, 5, inkOf(0, 2)}, {10, 5, inkOf(1, 2)}, {10, 8, laminate}} {
		q := v.at(mm(c.x, c.y))
		if got := color.NRGBAModel.Convert(img.At(int(q.x), int(q.y))).(color.NRGBA); far(got, c.want) > 3 {
			t.Errorf("at (%g, %g) mm: got %v, want %v", c.x, c.y, got, c.want)
		}
	}
}

// TestFlowSteps: with nine levels each ink is darker than the one before.
func TestFlowSteps(t *testing.T) {
	light := func(c color.NRGBA) int { return 2*int(c.R) + 7*int(c.G) + int(c.B) }
	last := light(idle)
	for k := range 9 {
		if now := light(inkOf(k, 9)); now >= last {
			t.Errorf("level %d is no darker than the one before", k)
		} else {
			last = now
		}
	}
	if inkOf(8, 9) != run {
		t.Error("the last level is not the full ink")
	}
}

// TestFlowOdd: pictures with little in them are drawn too, in both forms.
func TestFlowOdd(t *testing.T) {
	for name, f := range map[string]*Flow{
		"nothing":  {},
		"no level": {Panels: []Panel{{Name: "L1"}}, Box: geom.Box{Max: mm(1, 1)}},
		"all":      demoFlow(),
	} {
		for _, ending := range []string{".png", ".svg"} {
			if err := SaveFlow(filepath.Join(t.TempDir(), "x"+ending), f); err != nil {
				t.Errorf("%s%s: %v", name, ending, err)
			}
		}
	}
	if err := SaveFlow("x.bmp", demoFlow()); err == nil {
		t.Error("drew a .bmp")
	}
}
