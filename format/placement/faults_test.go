package placement

import (
	"strings"
	"testing"

	"ohmward/format/internal/readertest"
	"ohmward/geom"
	"ohmward/internal/check"
)

func TestFaults(t *testing.T) {
	readertest.Faults(t, func(input string) (class string, line int, says string) {
		return outcome(Read(strings.NewReader(input), "f.csv"))
	})
}

// outcome is the class, line and words of what went wrong.
func outcome(table *Table, err error) (class string, line int, says string) {
	switch {
	case err != nil:
		return readertest.Refused(err)
	case table.Kind == None:
		return "none", table.Header, table.Why
	case len(table.Warnings) > 0:
		return readertest.Warned(table.Warnings[0])
	}
	return "fine", 0, ""
}

func TestLimits(t *testing.T) {
	lowered := limits{bytes: 1 << 20, lines: 10_000, rows: 3 * 999}
	const rows = "R1-R999,1k\nC1-C999,1k\nA1-A999,1k\n"
	for name, c := range map[string]struct{ text, class string }{
		"parts":   {"Ref,Value\n" + rows + "B1,1k\n", "unsupported"},
		"cell":    {"Ref,Value\nR1," + strings.Repeat("x", maxCell+1) + "\n", "unsupported"},
		"columns": {"Ref,Value" + strings.Repeat(",x", maxColumns) + "\n" + rows, "none"},
		"lines":   {"Ref,Value\n" + strings.Repeat("\n", lowered.lines+1), "unsupported"},
		"bytes":   {strings.Repeat("x", lowered.bytes+1), "unsupported"},
		"within":  {"Ref,Value\n" + rows, "fine"},
	} {
		table, err := read(strings.NewReader(c.text), "f.csv", lowered)
		if class, _, says := outcome(table, err); class != c.class {
			t.Errorf("%s: got %s %q, want %s", name, class, says, c.class)
		}
	}
}

func FuzzRead(f *testing.F) {
	for _, broken := range check.Faults(f) {
		f.Add(broken.Input)
	}
	f.Add("sep=;\nQty;Parts;Wert\n3;C1, C3-C4;\"0,1 uF\"\n")
	f.Fuzz(func(t *testing.T, text string) {
		table, err := Read(strings.NewReader(text), "f-top.csv")
		if err != nil {
			if class, line, _ := outcome(nil, err); class == "other" || line < 1 {
				t.Fatalf("error without class or line: %v", err)
			}
			return
		}
		if table.Kind == None && (table.Why == "" || len(table.Rows) > 0) {
			t.Fatalf("no table, without a reason: %+v", table)
		}
		seen := map[string]bool{}
		for _, r := range table.Rows {
			if r.Ref == "" || seen[r.Ref] || r.Line <= table.Header || !(r.Rotation >= 0 && r.Rotation < 360) {
				t.Fatalf("bad row %+v", r)
			}
			seen[r.Ref] = true
			if max(r.At.X, -r.At.X, r.At.Y, -r.At.Y) > geom.MaxCoord {
				t.Fatalf("row beyond the frame: %+v", r)
			}
		}
	})
}
