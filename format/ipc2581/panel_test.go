package ipc2581

import (
	"fmt"
	"reflect"
	"strings"
	"testing"

	"ohmward/format/internal/readertest"
)

// stepOf is a panel's step with a frame of its own, or with none.
func stepOf(name, kind, repeats string, framed bool) string {
	frame := ""
	if framed {
		frame = `<LayerFeature layerRef="Top"><Set><Features><Circle diameter="0.3"/></Features></Set></LayerFeature>`
	}
	return fmt.Sprintf(`<Step name="%s" type="%s">%s%s</Step>`, name, kind, repeats, frame)
}

func repeatOf(of, nx, ny string) string {
	return fmt.Sprintf(`<StepRepeat stepRef="%s" x="0" y="0" nx="%s" ny="%s" dx="2" dy="2"/>`, of, nx, ny)
}

// A panel of arrays of the board, in inches, named first in Content and
// standing first: the board is read as if it stood alone.
func TestNestedPanel(t *testing.T) {
	m := made{units: "INCH", features: `<Features><Circle diameter="0.1"/></Features>`}
	want := m.read(t)
	text := strings.Replace(m.text(), `<StepRef name="board"/>`, `<StepRef name="panel"/><StepRef name="array"/><StepRef name="board"/>`, 1)
	panel := stepOf("panel", "PALLET", repeatOf("array", "2", "3"), true)
	array := stepOf("array", "ARRAY", repeatOf("board", "4", "1")+repeatOf("board", "4", "1"), true)
	for _, around := range [][2]string{{panel + array, ""}, {panel, array}, {array, panel}, {"", array + panel}} {
		with := strings.Replace(text, `<Step name="board"`, around[0]+`<Step name="board"`, 1)
		with = strings.Replace(with, `</CadData>`, around[1]+`</CadData>`, 1)
		d, err := Read(strings.NewReader(with), "p.xml")
		if err != nil {
			t.Fatal(err)
		}
		if d.Step != "board" || len(d.Repeats) != 3 || !warned(d, `copies of step "board" in 2 lots`) || !warned(d, `2 by 3 copies of step "array"`) || warned(d, "boards;") {
			t.Errorf("got step %q, %v, %v", d.Step, d.Repeats, d.Warnings)
		}
		if !reflect.DeepEqual(d.Layers[0].Objects[0].Rings, want.Layers[0].Objects[0].Rings) || len(d.Layers[0].Objects) != 1 || !reflect.DeepEqual(d.Profile, want.Profile) {
			t.Error("the board in a panel is another than alone")
		}
		if b := d.Profile[0].Bounds(); b.Max.X != 254_000_000 {
			t.Errorf("10 inches are %d nm", b.Max.X)
		}
	}
}

// Copies without number, of itself, in a ring and by the hundred cost nothing.
func TestWildPanels(t *testing.T) {
	text := made{features: `<Features><Circle diameter="1"/></Features>`}.text()
	for name, steps := range map[string]string{
		"huge":    stepOf("p", "PALLET", repeatOf("board", "2147483647", "2147483647"), false),
		"itself":  stepOf("p", "PALLET", repeatOf("p", "9", "9"), false),
		"a ring":  stepOf("p", "PALLET", repeatOf("q", "9999", "9999"), false) + stepOf("q", "PALLET", repeatOf("p", "9999", "9999"), true),
		"many":    stepOf("p", "PALLET", strings.Repeat(repeatOf("board", "1", "1"), 20_000), false),
		"nowhere": stepOf("p", "PALLET", repeatOf("no such", "9", "9"), false),
	} {
		var d *Design
		var err error
		text := strings.Replace(text, `<Step name`, steps+`<Step name`, 1)
		taken := readertest.Allocated(func() { d, err = Read(strings.NewReader(text), "p.xml") })
		if err != nil || d.Step != "board" || len(d.Layers[0].Objects) != 1 || len(d.Warnings) > 8 {
			t.Fatalf("%s: %v", name, err)
		}
		if taken > 1<<20+30*len(text) {
			t.Errorf("%s: %d bytes allocated for %d", name, taken, len(text))
		}
	}
	// The board itself in a ring is read all the same.
	d, err := Read(strings.NewReader(strings.Replace(text, `</Profile>`, `</Profile>`+repeatOf("board", "9", "9"), 1)), "p.xml")
	if err != nil || len(d.Layers[0].Objects) != 1 || !warned(d, "repeats itself") {
		t.Errorf("a board of itself: %v", err)
	}
	// A count that is no number is one clear line.
	if _, err := Read(strings.NewReader(strings.Replace(text, `<Step name`, stepOf("p", "", repeatOf("board", "99999999999999999999", "1"), false)+`<Step name`, 1)), "p.xml"); err == nil || !strings.Contains(err.Error(), "not a count") {
		t.Errorf("got %v", err)
	}
}
