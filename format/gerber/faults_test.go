package gerber

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"ohmward/format/internal/readertest"
	"ohmward/internal/check"
)

func TestFaults(t *testing.T) {
	readertest.Faults(t, func(input string) (class string, line int, says string) {
		return outcome(Read(strings.NewReader(input), "f.gbr"))
	})
}

// outcome is the class, line and words of what went wrong.
func outcome(img *Image, err error) (class string, line int, says string) {
	switch {
	case err != nil:
		return readertest.Refused(err)
	case len(img.Warnings) > 0:
		return readertest.Warned(img.Warnings[0])
	case !img.Complete:
		return "incomplete", 0, "no M02"
	}
	return "none", 0, ""
}

func FuzzRead(f *testing.F) {
	for _, broken := range check.Faults(f) {
		f.Add(broken.Input)
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
