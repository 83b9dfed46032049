package placement

import (
	"strings"
	"testing"

	"ohmward/format/internal/readertest"
)

// What is allocated for a hostile table grows with its size and no faster,
// whatever is in it. The limits are a sixty-fourth of the usual ones.
func TestHostile(t *testing.T) {
	lowered := limits{bytes: usual.bytes / 64, lines: usual.lines / 64, rows: usual.rows / 64}
	for name, text := range map[string]func(n int) string{
		"one long line": func(n int) string { return strings.Repeat("Ref,Value,", 90*n) },
		"a long title":  func(n int) string { return "Ref,Value," + strings.Repeat("x", 900*n) + "\nR1,10k,x\n" },
		"quotes":        func(n int) string { return "Ref,Value\n" + strings.Repeat("\"R1,\n", 50*n) },
		"blanks":        func(n int) string { return "Ref X Y Rot\n" + strings.Repeat(" ", 900*n) },
		"many commas": func(n int) string {
			return "Ref,Value\n" + strings.Repeat(strings.Repeat(",", 1000)+"\n", n)
		},
		"many titles": func(n int) string { return strings.Repeat("Ref,Value,X,Y,Rot,Side\n", 40*n) },
		"ranges":      func(n int) string { return "Ref,Value\n" + strings.Repeat("R1-R9999999,1k\n", 50*n) },
		"strokes":     func(n int) string { return "Ref,Value\n" + strings.Repeat("R1/", 20*n) + "R2,1k\n" },
		"long numbers": func(n int) string {
			return "Ref,X,Y\n" + strings.Repeat("R1,"+strings.Repeat("9", 5000)+",1\n", n/6)
		},
		"half of a wide character": func(n int) string { return "\xff\xfe" + strings.Repeat("R\x00", 400*n) + "V" },
		"zeros":                    func(n int) string { return strings.Repeat("\x00", 900*n) },
		"binary":                   func(n int) string { return strings.Repeat("\x01\xfe\x80R1,\n", 50*n) },
	} {
		taken := func(n int) int {
			text := text(n)
			return readertest.Allocated(func() {
				if _, err := read(strings.NewReader(text), "a.csv", lowered); err != nil {
					if class, at, _ := outcome(nil, err); class != "unsupported" || at < 1 {
						t.Errorf("%s: %v", name, err)
					}
				}
			})
		}
		few, many := taken(30), taken(120)
		t.Logf("%s: %d kB, and %d for four times the size", name, few>>10, many>>10)
		if many > 5*few+256<<10 || many > 200*lowered.bytes {
			t.Errorf("%s: %d bytes allocated, and %d for four times the size", name, few, many)
		}
	}
}
