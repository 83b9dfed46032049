package ipc2581

import (
	"errors"
	"io"
	"runtime"
	"strconv"
	"strings"
	"testing"

	"ohmward/geom"
	"ohmward/internal/check"
)

var small = limits{bytes: 1 << 20, objects: 5000, corners: 200_000, visits: 100_000}

func TestFaults(t *testing.T) {
	for name, f := range check.Faults(t) {
		d, err := read(strings.NewReader(f.Input), "f.xml", small)
		class, line, says := outcome(d, err)
		if class != f.Keys["class"] || strconv.Itoa(line) != f.Keys["line"] || f.Keys["says"] == "" || !strings.Contains(says, f.Keys["says"]) {
			t.Errorf("%s: got %s, line %d, %q; want %v", name, class, line, says, f.Keys)
		}
	}
}

// outcome is the class, line and words of what went wrong.
func outcome(d *Design, err error) (class string, line int, says string) {
	var m *MalformedError
	var u *UnsupportedError
	switch {
	case errors.As(err, &m):
		return "malformed", m.Line, err.Error()
	case errors.As(err, &u):
		return "unsupported", u.Line, err.Error()
	case err != nil:
		return "other", 0, err.Error()
	case d.CutOff > 0:
		return "cut off", d.CutOff, "cut off"
	case len(d.Warnings) > 0:
		return "warning", d.Warnings[0].Line, d.Warnings[0].What
	}
	return "none", 0, "sound"
}

// endless gives a beginning and then one letter for ever.
type endless struct {
	head   string
	letter byte
}

func (e *endless) Read(p []byte) (int, error) {
	n := copy(p, e.head)
	e.head = e.head[n:]
	for i := n; i < len(p); i++ {
		p[i] = e.letter
	}
	return len(p), nil
}

// Endless input ends with an error before it fills the memory.
func TestEndless(t *testing.T) {
	for _, head := range []string{"", "<", `<IPC-2581 revision="`, `<IPC-2581 revision="C">`, "<IPC-2581><!--", "<!DOCTYPE "} {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		_, err := Read(&endless{head, 'a'}, "endless.xml")
		runtime.ReadMemStats(&after)
		if class, _, _ := outcome(nil, err); err == nil || class == "other" {
			t.Errorf("%q: got %v", head, err)
		}
		if got := (after.TotalAlloc - before.TotalAlloc) >> 20; got > 200 {
			t.Errorf("%q: %d MB allocated", head, got)
		}
	}
	spaces := io.MultiReader(strings.NewReader("<IPC-2581>"), &lines{})
	_, err := read(spaces, "endless.xml", small)
	if class, _, says := outcome(nil, err); class != "unsupported" || !strings.Contains(says, "too long") {
		t.Errorf("endless elements: got %v", err)
	}
}

// lines gives empty elements for ever.
type lines struct{ rest string }

func (l *lines) Read(p []byte) (int, error) {
	if l.rest == "" {
		l.rest = strings.Repeat("<a/>\n", 1000)
	}
	n := copy(p, l.rest)
	l.rest = l.rest[n:]
	return n, nil
}

// A stream that fails keeps its own error.
func TestStreamError(t *testing.T) {
	broken := errors.New("the disk is gone")
	_, err := Read(io.MultiReader(strings.NewReader("<IPC-2581><a>"), failing{broken}), "f.xml")
	if !errors.Is(err, broken) {
		t.Errorf("got %v", err)
	}
}

type failing struct{ err error }

func (f failing) Read([]byte) (int, error) { return 0, f.err }

func FuzzRead(f *testing.F) {
	for _, fault := range check.Faults(f) {
		f.Add(fault.Input)
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
