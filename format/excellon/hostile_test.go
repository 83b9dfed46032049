package excellon

import (
	"errors"
	"io"
	"runtime"
	"strings"
	"testing"
)

// endless is a stream of one line without end.
type endless struct {
	line string
	rest string
}

func (e *endless) Read(p []byte) (int, error) {
	if e.rest == "" {
		e.rest = strings.Repeat(e.line, 1+4096/len(e.line))
	}
	n := copy(p, e.rest)
	e.rest = e.rest[n:]
	return n, nil
}

// TestFlood: a stream of 60 MB, just under the limit, one without end, and
// smaller ones of every kind of line are refused in one line or read, and take
// no more memory than a few times the limit.
func TestFlood(t *testing.T) {
	if testing.Short() {
		t.Skip("reads 60 MB and more: left out of -short")
	}
	for _, c := range []struct{ name, line, says string }{
		{"hits", "X1.0Y1.0\n", "too large"},
		{"repeats", "R99X0.0\n", "too large"},
		{"tools", "T1C0.8\n", ""},
		{"comments", "; nothing at all\n", ""},
		{"arcs", "G03X0.0Y0.0I500.0J0.0\n", "too large"},
		{"unknown", "%%\n", ""},
	} {
		sizes := []int64{8 << 20}
		if c.name == "hits" {
			sizes = []int64{60 << 20, 1 << 40}
		}
		for _, size := range sizes {
			runtime.GC()
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			head := "M48\nMETRIC\nT1C0.8\n%\nT1\nX1.0Y1.0\nM15\n"
			f, err := Read(io.LimitReader(io.MultiReader(strings.NewReader(head), &endless{line: c.line}), size), "flood.drl")
			runtime.ReadMemStats(&after)
			says := c.says
			if size > 1<<30 {
				says = "too large"
			}
			var unsupported *UnsupportedError
			switch {
			case says == "" && (err != nil || f.Complete):
				t.Errorf("%s: %v", c.name, err)
			case says != "" && (!errors.As(err, &unsupported) || !strings.Contains(err.Error(), says)):
				t.Errorf("%s of %d: %v", c.name, size, err)
			}
			if mb := int64(after.HeapAlloc-before.HeapAlloc) >> 20; mb > 900 {
				t.Errorf("%s of %d: %d MB of heap", c.name, size, mb)
			}
		}
	}
}
