package web

import (
	"bytes"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// node finds the program that runs JavaScript outside a browser; without it
// the test is skipped.
func node(t *testing.T) string {
	t.Helper()
	path, err := exec.LookPath("node")
	if err != nil {
		t.Skip("no node on this machine: the page's scripts are not checked")
	}
	return path
}

// TestPageTypes: the types that the page's scripts state for themselves hold,
// and what they say of the server's answers is so (see TestServerTypes).
func TestPageTypes(t *testing.T) {
	program := node(t)
	dir := os.Getenv("OHMWARD_TYPESCRIPT")
	if dir == "" {
		t.Skip("OHMWARD_TYPESCRIPT names no folder with typescript (scripts/test sets it)")
	}
	compiler := filepath.Join(dir, "node_modules", "typescript", "bin", "tsc")
	if _, err := os.Stat(compiler); err != nil {
		t.Skip("no typescript in " + dir)
	}
	if out, err := exec.Command(program, compiler, "--project", "pagecheck").CombinedOutput(); err != nil {
		t.Errorf("%v\n%s", err, out)
	}
}

// TestPageUnits runs the unit tests of the page's scripts.
func TestPageUnits(t *testing.T) {
	tests, err := filepath.Glob(filepath.Join("pagecheck", "*.test.js"))
	if err != nil || len(tests) == 0 {
		t.Fatalf("%d tests, %v", len(tests), err)
	}
	out, err := exec.Command(node(t),
		append([]string{"--test", "--test-reporter=tap"}, tests...)...).CombinedOutput()
	if err != nil || !bytes.Contains(out, []byte("# fail 0")) || bytes.Contains(out, []byte("# pass 0")) {
		t.Errorf("%v\n%s", err, out)
	}
}

// TestPageServed: the page's folder holds what is served, and no tests.
func TestPageServed(t *testing.T) {
	err := fs.WalkDir(embedded, "page", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		if kinds[filepath.Ext(name)] == "" || strings.HasSuffix(name, ".test.js") {
			t.Errorf("%s is in the program, but is nothing to serve", name)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}
