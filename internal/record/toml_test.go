package record

import (
	"fmt"
	"runtime"
	"strings"
	"testing"
)

// Keys of very many parts, or very long ones, are refused with their line in memory
// that follows the length of the text.
func TestEndlessKeys(t *testing.T) {
	const n = 200_000
	head := "board = \"x\"\nnets = [\"a\", \"b\"]\n"
	many := strings.TrimSuffix(strings.Repeat("a.", n), ".")
	var keys, headers strings.Builder
	for i := range n / 20 {
		fmt.Fprintf(&keys, "k%d = 1\n", i)
		fmt.Fprintf(&headers, "[%s.h%d]\n", strings.Repeat("b", 200), i)
	}
	for _, c := range []struct{ name, text, says string }{
		{"a key", many + " = 1\n", ":3: is nested more than 8 deep"},
		{"a table", "[" + many + "]\nb = 1\n", ":3: is nested more than 8 deep"},
		{"a list of tables", "[[" + many + "]]\nb = 1\n", ":3: is nested more than 8 deep"},
		{"a key in quotes", strings.ReplaceAll(many, "a", `"a"`) + " = 1\n", ":3: is nested more than 8 deep"},
		{"a key in a table", "[meter]\n" + many + " = 1\n", ":4: is nested more than 8 deep"},
		{"an inline table", "meter = {" + many + " = 1}\n", ":3: is nested more than 8 deep"},
		{"just too deep", "a.b.c.d.e.f.g.h.i = 1\n", ":3: is nested more than 8 deep"},
		{"not too deep", "a.b.c.d.e.f.g.h = 1\n", `:3: unknown key "a"`},
		{"keys in a table of a long name", "[" + strings.Repeat("a", n) + "]\n" + keys.String(), "its keys are too long"},
		{"tables of long names", headers.String(), "unknown key"},
	} {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		_, err := Decode("x.toml", []byte(head+c.text))
		runtime.ReadMemStats(&after)
		if err == nil || !strings.Contains(err.Error(), c.says) || len(err.Error()) > 400 {
			t.Errorf("%s: %.400v, want the words %q", c.name, err, c.says)
		}
		// What took long stored every key's whole path: that shows in bytes.
		if bytes := after.TotalAlloc - before.TotalAlloc; bytes > 256<<20 {
			t.Errorf("%s: %d bytes allocated", c.name, bytes)
		}
	}
}
