package placement

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
		table, err := Read(strings.NewReader(f.Input), "f.csv")
		class, line, says := outcome(table, err)
		if class != f.Keys["class"] || strconv.Itoa(line) != f.Keys["line"] || f.Keys["says"] == "" || !strings.Contains(says, f.Keys["says"]) {
			t.Errorf("%s: got %s, line %d, %q; want %v", name, class, line, says, f.Keys)
		}
	}
}

// outcome is the class, line and words of what went wrong.
func outcome(table *Table, err error) (class string, line int, says string) {
	var u *UnsupportedError
	switch {
	case errors.As(err, &u):
		return "unsupported", u.Line, err.Error()
	case err != nil:
		return "other", 0, err.Error()
	case table.Kind == None:
		return "none", table.Header, table.Why
	case len(table.Warnings) > 0:
		return "warning", table.Warnings[0].Line, table.Warnings[0].What
	}
	return "fine", 0, ""
}

func TestLimits(t *testing.T) {
	rows := strings.Repeat("R1-R9999,1k\nC1-C9999,1k\nA1-A9999,1k\n", 1)
	var many strings.Builder
	many.WriteString("Ref,Value\n")
	for i := range 60 {
		many.WriteString(strings.ReplaceAll("X1-X9999,1k\n", "X", string(rune('A'+i%26))+string(rune('A'+i/26))))
	}
	for name, c := range map[string]struct{ text, class string }{
		"parts":   {many.String(), "unsupported"},
		"cell":    {"Ref,Value\nR1," + strings.Repeat("x", maxCell+1) + "\n", "unsupported"},
		"columns": {"Ref,Value" + strings.Repeat(",x", maxColumns) + "\n" + rows, "none"},
		"lines":   {"Ref,Value\n" + strings.Repeat("\n", maxLines), "unsupported"},
		"bytes":   {strings.Repeat("x", maxBytes+1), "unsupported"},
		"within":  {"Ref,Value\n" + rows, "fine"},
	} {
		table, err := Read(strings.NewReader(c.text), "f.csv")
		if class, _, says := outcome(table, err); class != c.class {
			t.Errorf("%s: got %s %q, want %s", name, class, says, c.class)
		}
	}
}

func FuzzRead(f *testing.F) {
	for _, fault := range check.Faults(f) {
		f.Add(fault.Input)
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
