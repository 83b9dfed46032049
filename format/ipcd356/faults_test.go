package ipcd356

import (
	"errors"
	"strconv"
	"strings"
	"testing"

	"ohmward/geom"
	"ohmward/internal/check"
)

func TestFaults(t *testing.T) {
	for name, f := range check.Faults(t) {
		file, err := Read(strings.NewReader(f.Input), "f.d356")
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
		return "incomplete", 0, "no 999"
	}
	return "none", 0, ""
}

func TestLimits(t *testing.T) {
	for name, text := range map[string]string{
		"line":    "P  JOB " + strings.Repeat("x", maxLine),
		"aliases": manyParameters("NNAME", maxAliases+1),
		"headers": manyParameters("H", maxHeaders+1),
	} {
		_, err := Read(strings.NewReader(text), "f.d356")
		if class, _, says := outcome(nil, err); class != "unsupported" || !strings.Contains(says, "too large") {
			t.Errorf("%s: got %s %q, want unsupported, too large", name, class, says)
		}
	}
}

func manyParameters(key string, n int) string {
	var b strings.Builder
	for i := range n {
		b.WriteString("P  " + key + strconv.Itoa(i) + " x\n")
	}
	return b.String()
}

func FuzzRead(f *testing.F) {
	for _, fault := range check.Faults(f) {
		f.Add(fault.Input)
	}
	f.Add("P  NNAME1 LONG\n378NNAME1 L01 X1Y1\n317NNAME1  J1 -1 D0400PA00X+1Y-1X1Y1R9S0\n017  A02X+1Y+1\n999\n")
	f.Fuzz(func(t *testing.T, text string) {
		file, err := Read(strings.NewReader(text), "f.d356")
		if err != nil {
			if class, line, _ := outcome(nil, err); class == "other" || line < 1 {
				t.Fatalf("error without class or line: %v", err)
			}
			return
		}
		for _, r := range file.Records {
			if r.Line < 1 || r.Hole < 0 || r.Size[0] < 0 || r.Size[1] < 0 || r.Access < -1 || r.Access > file.Layers || r.Mask > MaskUnsaid {
				t.Fatalf("bad record %+v", r)
			}
			if max(r.At.X, -r.At.X, r.At.Y, -r.At.Y) > geom.MaxCoord {
				t.Fatalf("record beyond the frame: %+v", r)
			}
		}
	})
}
