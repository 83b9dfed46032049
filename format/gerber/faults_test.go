package gerber

import (
	"errors"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"ohmward/internal/check"
)

func TestFaults(t *testing.T) {
	for name, f := range check.Faults(t) {
		img, err := Read(strings.NewReader(f.Input), "f.gbr")
		class, line, says := outcome(img, err)
		if class != f.Keys["class"] || strconv.Itoa(line) != f.Keys["line"] || f.Keys["says"] == "" || !strings.Contains(says, f.Keys["says"]) {
			t.Errorf("%s: got %s, line %d, %q; want %v", name, class, line, says, f.Keys)
		}
	}
}

// outcome is the class, line and words of what went wrong.
func outcome(img *Image, err error) (class string, line int, says string) {
	var m *MalformedError
	var u *UnsupportedError
	switch {
	case errors.As(err, &m):
		return "malformed", m.Line, err.Error()
	case errors.As(err, &u):
		return "unsupported", u.Line, err.Error()
	case err != nil:
		return "other", 0, err.Error()
	case len(img.Warnings) > 0:
		return "warning", img.Warnings[0].Line, img.Warnings[0].What
	case !img.Complete:
		return "incomplete", 0, "no M02"
	}
	return "none", 0, ""
}

func FuzzRead(f *testing.F) {
	for _, fault := range check.Faults(f) {
		f.Add(fault.Input)
	}
	for _, name := range []string{"two-square-boxes.gbr", "polarities-and-apertures.gbr"} {
		b, err := os.ReadFile(filepath.Join("testdata/spec", name))
		if err != nil {
			f.Fatal(err)
		}
		f.Add(string(b))
	}
	f.Add(header + "%ABD12*%%ADD10C,1X0.2*%D10*X0Y0D02*G75*G02*X5J5D01*%AB*%%SRX2Y2I1J1*%%LR45*%D12*X9D03*%SR*%M02*")
	f.Fuzz(func(t *testing.T, text string) {
		img, err := read(strings.NewReader(text), "f.gbr", limits{objects: 5000, corners: 200_000})
		if err != nil {
			if class, line, _ := outcome(nil, err); class == "other" || line < 1 {
				t.Fatalf("error without class or line: %v", err)
			}
			return
		}
		for _, o := range img.Objects {
			if o.Line < 1 {
				t.Fatalf("object without line: %+v", o)
			}
			for _, r := range o.Rings {
				if len(r) < 3 {
					t.Fatalf("ring of %d corners in line %d", len(r), o.Line)
				}
			}
			if reach(o.Rings) > 1_000_000_000 {
				t.Fatalf("ring beyond the frame in line %d", o.Line)
			}
		}
	})
}
