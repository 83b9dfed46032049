package ohmward_test

import (
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

var (
	testNamed   = regexp.MustCompile(`\b(Test|Fuzz|Benchmark)[A-Z][A-Za-z]*`)
	testHere    = regexp.MustCompile(`(?m)^func ((Test|Fuzz|Benchmark)[A-Z]\w*)\(`)
	pathNamed   = regexp.MustCompile(`\b(internal|format|cmd|tools|demo|docs|testdata)/[a-z0-9_./-]*[a-z0-9]`)
	plannedLine = regexp.MustCompile(`(?m)^.*\(planned\).*$`)
	fileNamed   = regexp.MustCompile(`\b[a-z0-9_]+\.(go|js|py)\b`)
	linked      = regexp.MustCompile(`\]\(([^):#]+)(#[^)]*)?\)`)
)

// stale lists what a page in a folder names that is not there: tests (or
// beginnings of their names, as -run takes them), source files, paths from the
// root, and files linked to.
func stale(page, folder string, tests, sources []string, exists func(path string) bool) (list []string) {
	for _, name := range testNamed.FindAllString(page, -1) {
		if !strings.Contains("\n"+strings.Join(tests, "\n"), "\n"+name) {
			list = append(list, name)
		}
	}
	for _, name := range fileNamed.FindAllString(page, -1) {
		if !slices.ContainsFunc(sources, func(s string) bool { return path.Base(s) == name }) {
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
	sources := slices.Concat(filesEnding(t, ".go"), filesEnding(t, ".js"), filesEnding(t, ".py"))
	exists := func(name string) bool {
		_, err := os.Stat(name)
		return err == nil
	}
	for _, name := range filesEnding(t, ".md") {
		if name == "CHANGELOG.md" {
			continue
		}
		page := plannedLine.ReplaceAllString(read(t, name), "")
		for _, what := range stale(page, path.Dir(name), tests, sources, exists) {
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
	tests, sources := []string{"TestSweepAll"}, []string{"internal/mesh/mesh.go"}
	page := "`go test ./internal/mesh -run TestSweep`, [this](json.md#net), mesh.go, " +
		"TestGone, gone.go, internal/gone, [that](gone.md)"
	got := strings.Join(stale(page, "docs", tests, sources, exists), " ")
	if want := "TestGone gone.go internal/gone gone.md"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}
