package ohmward_test

import (
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
)

// planned marks a package of the drawing that holds no code yet.
const planned = "(planned)"

// drawingFaults compares a drawing with a table of allowed imports. A line of
// the drawing that begins at the margin names a package; the others are
// captions. Every package of the table stands there once, below all that it
// may import, and is marked as planned just where it holds no code.
func drawingFaults(drawing string, table map[string][]string, hasCode func(name string) bool) (faults []string) {
	fault := func(format string, args ...any) { faults = append(faults, fmt.Sprintf(format, args...)) }
	above := map[string]bool{}
	for _, line := range strings.Split(drawing, "\n") {
		if line == "" || line[0] == ' ' {
			continue
		}
		shown := strings.Fields(line)[0]
		name := strings.TrimPrefix(shown, module)
		imports, known := table[name]
		switch {
		case !known:
			fault("%s is not in the table", shown)
		case above[name]:
			fault("%s stands there twice", shown)
		case hasCode(name) == strings.Contains(line, planned):
			fault("%s: has code: %v, marked %s: %v", shown, hasCode(name), planned, hasCode(name))
		}
		for _, i := range imports {
			if _, own := table[i]; own && !above[i] {
				fault("%s stands above %s, which it may import", shown, i)
			}
		}
		above[name] = true
	}
	for _, name := range slices.Sorted(maps.Keys(table)) {
		if !above[name] {
			fault("package %q is missing", name)
		}
	}
	return faults
}

// firstBlock gives the first fenced block of a page.
func firstBlock(page string) string {
	_, rest, _ := strings.Cut(page, "\n```\n")
	block, _, _ := strings.Cut(rest, "\n```\n")
	return block
}

// TestDrawing: the drawing in ARCHITECTURE.md shows the packages of the table
// of allowed imports, in its order.
func TestDrawing(t *testing.T) {
	page, err := os.ReadFile("ARCHITECTURE.md")
	if err != nil {
		t.Fatal(err)
	}
	hasCode := func(name string) bool {
		files, _ := filepath.Glob(filepath.Join(name, "*.go"))
		return len(files) > 0
	}
	for _, f := range drawingFaults(firstBlock(string(page)), allowed, hasCode) {
		t.Error(f)
	}
}

func TestDrawingFaults(t *testing.T) {
	table := map[string][]string{"": {"b"}, "a": nil, "b": {"a", "golang.org/x/image"}, "later": nil}
	hasCode := func(name string) bool { return name != "later" }
	for _, c := range []struct {
		drawing string
		want    []string
	}{
		{"  the bottom\na  first\nb\nlater (planned)\n\nohmward  top", nil},
		{"a\nlater (planned)\nohmward", []string{"ohmward stands above b, which it may import", `package "b" is missing`}},
		{"b\na\nlater (planned)\nohmward", []string{"b stands above a, which it may import"}},
		{"a\na\nb\nlater (planned)\nohmward\nc", []string{"a stands there twice", "c is not in the table"}},
		{"a\nb\nlater\nohmward (planned)", []string{
			"later: has code: false, marked (planned): false", "ohmward: has code: true, marked (planned): true"}},
	} {
		if got := drawingFaults(c.drawing, table, hasCode); !reflect.DeepEqual(got, c.want) {
			t.Errorf("%q: %q, want %q", c.drawing, got, c.want)
		}
	}
}
