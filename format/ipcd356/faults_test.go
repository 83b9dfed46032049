package ipcd356

import (
	"errors"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"ohmward/internal/geom"
)

// fault is one file of testdata/faults: lines "key: value", a line "--", and
// then the input. Keys: why, class (malformed, unsupported, warning or
// incomplete), line, says (a part of the message).
type fault struct {
	keys  map[string]string
	input string
}

func faults(tb testing.TB) map[string]fault {
	files, _ := filepath.Glob("testdata/faults/*.txt")
	if len(files) == 0 {
		tb.Fatal("no faults found")
	}
	out := map[string]fault{}
	for _, f := range files {
		b, err := os.ReadFile(f)
		if err != nil {
			tb.Fatal(err)
		}
		head, input, found := strings.Cut(string(b), "\n--\n")
		if !found {
			tb.Fatalf("%s: no input", f)
		}
		keys := map[string]string{}
		for _, line := range strings.Split(head, "\n") {
			k, v, _ := strings.Cut(line, ": ")
			keys[k] = v
		}
		out[filepath.Base(f)] = fault{keys, input}
	}
	return out
}

func TestFaults(t *testing.T) {
	for name, f := range faults(t) {
		file, err := Read(strings.NewReader(f.input), "f.d356")
		class, line, says := outcome(file, err)
		if class != f.keys["class"] || strconv.Itoa(line) != f.keys["line"] || f.keys["says"] == "" || !strings.Contains(says, f.keys["says"]) {
			t.Errorf("%s: got %s, line %d, %q; want %v", name, class, line, says, f.keys)
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
	for _, fault := range faults(f) {
		f.Add(fault.input)
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
