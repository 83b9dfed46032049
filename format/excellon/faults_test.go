package excellon

import (
	"strings"
	"testing"

	"ohmward/format/internal/readertest"
	"ohmward/internal/check"
)

func TestFaults(t *testing.T) {
	readertest.Faults(t, func(input string) (class string, line int, says string) {
		return outcome(Read(strings.NewReader(input), "f.drl"))
	})
}

// outcome is the class, line and words of what went wrong.
func outcome(f *File, err error) (class string, line int, says string) {
	switch {
	case err != nil:
		return readertest.Refused(err)
	case len(f.Warnings) > 0:
		return readertest.Warned(f.Warnings[0])
	case !f.Complete:
		return "incomplete", 0, "no M30"
	}
	return "none", 0, ""
}

func FuzzRead(f *testing.F) {
	for _, broken := range check.Faults(f) {
		f.Add(broken.Input)
	}
	f.Add("M48\nMETRIC,LZ,000.000\nT1C1.0\n%\nT1\nG00X10.0Y0.0\nM15\nG03X0.0Y10.0A10.0\nM16\nG05\nX1G85X2\nM25\nX3\nM01\nR2M02X1\nM30\n")
	f.Fuzz(func(t *testing.T, text string) {
		file, err := read(strings.NewReader(text), "f.drl", limits{bytes: 1 << 20, hits: 5000})
		if err != nil {
			if class, line, _ := outcome(nil, err); class == "other" || line < 1 {
				t.Fatalf("error without class or line: %v", err)
			}
			return
		}
		for _, h := range file.Hits {
			if h.Line < 1 || h.Diameter < 0 {
				t.Fatalf("bad hit %+v", h)
			}
			for _, v := range []int64{h.At.X, h.At.Y, h.To.X, h.To.Y, h.Diameter} {
				if max(v, -v) > 1_000_000_000 {
					t.Fatalf("hit beyond the frame: %+v", h)
				}
			}
		}
	})
}
