package excellon

import (
	"errors"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
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
		file, err := Read(strings.NewReader(f.input), "f.drl")
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
		return "incomplete", 0, "no M30"
	}
	return "none", 0, ""
}

func FuzzRead(f *testing.F) {
	for _, fault := range faults(f) {
		f.Add(fault.input)
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
