package ipcd356

import (
	"strconv"
	"strings"
	"testing"

	"ohmward/format/internal/readertest"
	"ohmward/geom"
	"ohmward/internal/check"
)

func TestFaults(t *testing.T) {
	readertest.Faults(t, func(input string) (class string, line int, says string) {
		return outcome(Read(strings.NewReader(input), "f.d356"))
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
		return "incomplete", 0, "no 999"
	}
	return "none", 0, ""
}

func TestLimits(t *testing.T) {
	lowered := limits{bytes: 64 << 10, aliases: 1000}
	for name, text := range map[string]string{
		"line":    "P  JOB " + strings.Repeat("x", maxLine),
		"aliases": manyParameters("NNAME", lowered.aliases+1),
		"headers": manyParameters("H", maxHeaders+1),
		"bytes":   strings.Repeat("C\n", lowered.bytes),
	} {
		if _, err := read(strings.NewReader(text), "f.d356", lowered); !readertest.IsUnsupported(err, "too large") {
			t.Errorf("%s: got %v, want unsupported, too large", name, err)
		}
	}
	if _, err := read(strings.NewReader(manyParameters("NNAME", lowered.aliases)), "f.d356", lowered); err != nil {
		t.Errorf("at the limit: %v", err)
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
	for _, broken := range check.Faults(f) {
		f.Add(broken.Input)
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
			if r.Line < 1 || r.Hole < 0 || r.Size[0] < 0 || r.Size[1] < 0 || r.Access < -1 || r.Access > file.Layers || r.Mask > MaskUnknown {
				t.Fatalf("bad record %+v", r)
			}
			if max(r.At.X, -r.At.X, r.At.Y, -r.At.Y) > geom.MaxCoord {
				t.Fatalf("record beyond the frame: %+v", r)
			}
		}
	})
}
