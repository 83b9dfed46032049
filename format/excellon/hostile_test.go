package excellon

import (
	"testing"

	"ohmward/format/internal/readertest"
)

// TestFlood: files of every kind of line, just under the limit of bytes and far
// beyond it, are read or refused in one line, and allocate no more than a few
// times the limits, which are far below the usual ones here.
func TestFlood(t *testing.T) {
	const head = "M48\nMETRIC\nT1C0.8\n%\nT1\nX1.0Y1.0\nM15\n"
	lowered := limits{bytes: 1 << 20, hits: usual.hits / 100}
	for _, c := range []struct {
		name, text, says string
		most             int // bytes allocated for each of the limit
	}{
		{"hits", "X1.0Y1.0\n", "too large", 40},
		{"repeats", "R99X0.0\n", "too large", 40},
		{"tools", "T1C0.8\n", "", 80},
		{"comments", "; nothing at all\n", "", 40},
		{"arcs", "G03X0.0Y0.0I500.0J0.0\n", "too large", 40},
		{"unknown", "%%\n", "", 40},
	} {
		for size, says := range map[int]string{lowered.bytes - len(head): c.says, 1 << 40: "too large"} {
			var f *File
			var err error
			taken := readertest.Allocated(func() {
				f, err = read(readertest.NewFlood(head, c.text, size), "flood.drl", lowered)
			})
			switch {
			case says == "" && (err != nil || f.Complete):
				t.Errorf("%s: %v", c.name, err)
			case says != "" && !readertest.IsUnsupported(err, says):
				t.Errorf("%s of %d: %v", c.name, size, err)
			}
			t.Logf("%s of %d: %d bytes allocated, %v", c.name, size, taken, err)
			if taken > c.most*lowered.bytes {
				t.Errorf("%s of %d: %d bytes allocated", c.name, size, taken)
			}
		}
	}
}
