// Package check holds the helpers that tests share: comparing floats with a
// stated tolerance, golden files, and finding the folder of outside checks.
// Only tests import it.
package check

import (
	"bytes"
	"flag"
	"math"
	"os"
	"path/filepath"
	"testing"
)

// Tol is a tolerance: got may differ from want by Abs + Rel*|want|.
type Tol struct {
	Rel, Abs float64 // share of the wanted value; Abs in its unit
}

// Approx fails the test unless got is within tol of want. NaN never passes.
func Approx[F ~float64](t testing.TB, got, want F, tol Tol, what ...string) {
	t.Helper()
	if Near(float64(got), float64(want), tol) {
		return
	}
	name := ""
	if len(what) > 0 {
		name = what[0] + ": "
	}
	t.Errorf("%sgot %.10g, want %.10g; off by %.3g, allowed %.3g", name, float64(got), float64(want),
		float64(got-want), tol.Abs+tol.Rel*math.Abs(float64(want)))
}

// Near tells whether got is within tol of want.
func Near(got, want float64, tol Tol) bool {
	if math.IsInf(want, 0) {
		return got == want
	}
	return math.Abs(got-want) <= tol.Abs+tol.Rel*math.Abs(want)
}

var update = flag.Bool("update", false, "rewrite the golden files")

// Golden compares got with the file, whose lines end in a bare newline; with
// -update it writes the file instead.
func Golden(t testing.TB, path string, got []byte) {
	t.Helper()
	if *update {
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("%v (run the test with -update to write it)", err)
	}
	if bytes.Equal(got, want) {
		return
	}
	g, w := bytes.Split(got, []byte("\n")), bytes.Split(want, []byte("\n"))
	for i := range max(len(g), len(w)) {
		if line(g, i) != line(w, i) {
			t.Errorf("%s:%d:\n got %q\nwant %q", path, i+1, line(g, i), line(w, i))
			return
		}
	}
}

func line(lines [][]byte, i int) string {
	if i < len(lines) {
		return string(lines[i])
	}
	return "(end)"
}

// Root gives the folder of the module.
func Root(t testing.TB) string {
	t.Helper()
	dir, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir
		}
		up := filepath.Dir(dir)
		if up == dir {
			t.Fatal("no go.mod above the test's folder")
		}
		dir = up
	}
}

// Shared gives the folder of outside checks beside the repository (or where
// OHMWARD_SHARED says), and skips the test where there is none.
func Shared(t testing.TB) string {
	t.Helper()
	dir := os.Getenv("OHMWARD_SHARED")
	if dir == "" {
		dir = filepath.Join(Root(t), "..", "shared")
	}
	if info, err := os.Stat(dir); err != nil || !info.IsDir() {
		t.Skip("no ../shared folder with outside checks: skipped")
	}
	return dir
}
