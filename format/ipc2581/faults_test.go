package ipc2581

import (
	"errors"
	"io"
	"strings"
	"testing"
	"testing/iotest"

	"ohmward/format/fault"
	"ohmward/format/internal/readertest"
	"ohmward/geom"
	"ohmward/internal/check"
)

var small = limits{bytes: 1 << 20, token: 64 << 10, objects: 5000, corners: 200_000, visits: 100_000}

func TestFaults(t *testing.T) {
	readertest.Faults(t, func(input string) (class string, line int, says string) {
		return outcome(read(strings.NewReader(input), "f.xml", small))
	})
}

// outcome is the class, line and words of what went wrong.
func outcome(d *Design, err error) (class string, line int, says string) {
	switch {
	case err != nil:
		return readertest.Refused(err)
	case d.CutOff > 0:
		return "cut off", d.CutOff, "cut off"
	case len(d.Warnings) > 0:
		return readertest.Warned(d.Warnings[0])
	}
	return "none", 0, "sound"
}

// Endless input ends with an error before it fills the memory.
func TestEndless(t *testing.T) {
	for _, c := range [][2]string{
		{"", "a"}, {"<", "a"}, {`<IPC-2581 revision="`, "a"}, {`<IPC-2581 revision="C">`, "a"},
		{"<IPC-2581><!--", "a"}, {"<!DOCTYPE ", "a"}, {"<IPC-2581>", "<a/>\n"},
	} {
		var err error
		taken := readertest.Allocated(func() {
			_, err = read(readertest.NewFlood(c[0], c[1], 1<<40), "endless.xml", small)
		})
		if class, _, says := outcome(nil, err); class == "other" || c[1] != "a" && !strings.Contains(says, "too long") {
			t.Errorf("%q: got %v", c, err)
		}
		if taken > 64*small.token+64*int(small.bytes) {
			t.Errorf("%q: %d bytes allocated", c, taken)
		}
	}
}

// An error names the elements that are open where it is found.
func TestErrorElement(t *testing.T) {
	text := made{features: `<Pad><Location x="one" y="1"/></Pad>`}.text()
	_, err := Read(strings.NewReader(text), "f.xml")
	var e *fault.Error
	const want = "IPC-2581/Ecad/CadData/Step/LayerFeature/Set/Pad/Location"
	if !errors.As(err, &e) || e.Kind != fault.Malformed || e.Element != want {
		t.Errorf("got %#v, want an error in %s", err, want)
	}
}

// A stream that fails keeps its own error.
func TestStreamError(t *testing.T) {
	broken := errors.New("the disk is gone")
	_, err := Read(io.MultiReader(strings.NewReader("<IPC-2581><a>"), iotest.ErrReader(broken)), "f.xml")
	if !errors.Is(err, broken) {
		t.Errorf("got %v", err)
	}
}

func FuzzRead(f *testing.F) {
	for _, broken := range check.Faults(f) {
		f.Add(broken.Input)
	}
	f.Add(made{step: via + parts, bom: bom, features: `<Pad padstackDefRef="via"><Xform rotation="30" mirror="true"/><Location x="1" y="1"/></Pad>` +
		`<Features><Arc startX="1" startY="0" endX="0" endY="1" centerX="0" centerY="0"><LineDesc lineWidth="1" lineEnd="SQUARE"/></Arc></Features>`}.text())
	f.Add(made{layers: four, stack: " ", features: `<Features><Contour><Polygon>` + box("0", "0", "2", "2") + `</Polygon><Cutout>` + box("1", "1", "3", "3") + `</Cutout></Contour></Features>`}.text())
	f.Fuzz(func(t *testing.T, text string) {
		d, err := read(strings.NewReader(text), "f.xml", small)
		if err != nil {
			if class, line, _ := outcome(nil, err); class == "other" || line < 1 {
				t.Fatalf("error without class or line: %v", err)
			}
			return
		}
		for _, l := range d.Layers {
			for _, o := range l.Objects {
				if o.Line < 1 || len(o.Rings) == 0 {
					t.Fatalf("bad object %+v", o)
				}
				for _, ring := range o.Rings {
					if len(ring) < 3 || !within(ring) {
						t.Fatalf("bad ring in line %d: %v", o.Line, ring)
					}
				}
			}
		}
		for _, h := range d.Holes {
			if h.First < 0 || h.Last >= len(d.Layers) || h.Diameter < 0 || !within(geom.Ring{h.At, h.To}) {
				t.Fatalf("bad hole %+v", h)
			}
		}
		for _, c := range d.Components {
			if !within(c.Body) || !within(geom.Ring{c.At}) {
				t.Fatalf("part beyond the frame: %+v", c)
			}
		}
	})
}
