package check

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Fault is one broken input: a file of testdata/faults with lines
// "key: value", a line "--", and then the input. Keys are why, class, line and
// says, a part of the message.
type Fault struct {
	Keys  map[string]string // of the file's head
	Input string            // what is read
}

// Faults reads all files testdata/faults/*.txt of the package under test, by
// name; there must be some.
func Faults(t testing.TB) map[string]Fault {
	t.Helper()
	files, _ := filepath.Glob("testdata/faults/*.txt")
	if len(files) == 0 {
		t.Fatal("no faults found")
	}
	out := map[string]Fault{}
	for _, f := range files {
		b, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		head, input, found := strings.Cut(string(b), "\n--\n")
		if !found {
			t.Fatalf("%s: no input", f)
		}
		keys := map[string]string{}
		for line := range strings.SplitSeq(head, "\n") {
			k, v, _ := strings.Cut(line, ": ")
			keys[k] = v
		}
		out[filepath.Base(f)] = Fault{keys, input}
	}
	return out
}
