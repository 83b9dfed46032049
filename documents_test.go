package ohmward_test

import (
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

var (
	testNamed   = regexp.MustCompile(`\b(Test|Fuzz|Benchmark)[A-Z][A-Za-z]*`)
	testHere    = regexp.MustCompile(`(?m)^func ((Test|Fuzz|Benchmark)[A-Z]\w*)\(`)
	pathNamed   = regexp.MustCompile(`\b(internal|format|cmd|tools|demo|docs|testdata)/[a-z0-9_./-]*[a-z0-9]`)
	plannedLine = regexp.MustCompile(`(?m)^.*\(planned\).*$`)
	linked      = regexp.MustCompile(`\]\(([^):#]+)(#[^)]*)?\)`)
)

// stale lists what a page in a folder names that is not there: tests (or
// beginnings of their names, as -run takes them), paths from the root, and
// files linked to.
func stale(page, folder string, tests []string, exists func(path string) bool) (list []string) {
	for _, name := range testNamed.FindAllString(page, -1) {
		if !strings.Contains("\n"+strings.Join(tests, "\n"), "\n"+name) {
			list = append(list, name)
		}
	}
	for _, name := range pathNamed.FindAllString(page, -1) {
		if !exists(name) {
			list = append(list, name)
		}
	}
	for _, link := range linked.FindAllStringSubmatch(page, -1) {
		if !exists(path.Join(folder, link[1])) {
			list = append(list, link[1])
		}
	}
	return list
}

// filesEnding gives the repository's files whose names end so.
func filesEnding(t *testing.T, with string) (names []string) {
	t.Helper()
	err := filepath.WalkDir(".", func(name string, d fs.DirEntry, err error) error {
		if err == nil && d.IsDir() && len(name) > 1 && (name[0] == '.' || d.Name() == "node_modules") {
			return fs.SkipDir
		}
		if err == nil && strings.HasSuffix(name, with) {
			names = append(names, filepath.ToSlash(name))
		}
		return err
	})
	if err != nil || len(names) == 0 {
		t.Fatalf("%d files end in %s: %v", len(names), with, err)
	}
	return names
}

// TestDocuments: the tests, paths and files that the documents name are there.
// The changelog tells of the past too.
func TestDocuments(t *testing.T) {
	var tests []string
	for _, name := range filesEnding(t, "_test.go") {
		for _, m := range testHere.FindAllStringSubmatch(read(t, name), -1) {
			tests = append(tests, m[1])
		}
	}
	exists := func(name string) bool {
		_, err := os.Stat(name)
		return err == nil
	}
	for _, name := range filesEnding(t, ".md") {
		if name == "CHANGELOG.md" {
			continue
		}
		for _, what := range stale(plannedLine.ReplaceAllString(read(t, name), ""), path.Dir(name), tests, exists) {
			t.Errorf("%s names %s, which is not there", name, what)
		}
	}
}

func read(t *testing.T, name string) string {
	t.Helper()
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func TestStale(t *testing.T) {
	exists := func(name string) bool { return name == "internal/mesh" || name == "docs/json.md" }
	page := "`go test ./internal/mesh -run TestSweep` and [this](json.md#net), TestGone, internal/gone, [that](gone.md)"
	got := strings.Join(stale(page, "docs", []string{"TestSweepAll"}, exists), " ")
	if want := "TestGone internal/gone gone.md"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}
