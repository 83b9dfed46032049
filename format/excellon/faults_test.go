package excellon

import (
	"errors"
	"strconv"
	"strings"
	"testing"

	"ohmward/internal/check"
)

func TestFaults(t *testing.T) {
	for name, f := range check.Faults(t) {
		file, err := Read(strings.NewReader(f.Input), "f.drl")
		class, line, says := outcome(file, err)
		if class != f.Keys["class"] || strconv.Itoa(line) != f.Keys["line"] || f.Keys["says"] == "" || !strings.Contains(says, f.Keys["says"]) {
			t.Errorf("%s: got %s, line %d, %q; want %v", name, class, line, says, f.Keys)
		}
	}
}

// outcome is the class, line and words of what went wrong.
func outcome(f *File, err error) (class string, line int, says string) {
	var m *MalformedError
	var u *UnsupportedError
	switch {
	case errors.As(err, &m):
		return "malformed", m.Line, err.Error()
	case errors.As(err, &u):
		return "unsupported", u.Line, err.Error()
	case err != nil:
		return "other", 0, err.Error()
	case len(f.Warnings) > 0:
		return "warning", f.Warnings[0].Line, f.Warnings[0].What
	case !f.Complete:
		return "incomplete", 0, "no M30"
	}
	return "none", 0, ""
}

func FuzzRead(f *testing.F) {
	for _, fault := range check.Faults(f) {
		f.Add(fault.Input)
	}
	f.Add("M48\nMETRIC,LZ,000.000\nT1C1.0\n%\nT1\nG00X10.0Y0.0\nM15\nG03X0.0Y10.0A10.0\nM16\nG05\nX1G85X2\nM25\nX3\nM01\nR2M02X1\nM30\n")
	f.Fuzz(func(t *testing.T, text string) {
		file, err := read(strings.NewReader(text), "f.drl", 5000)
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
