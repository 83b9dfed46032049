package ohmward_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// usedModule is a module that go list names, with the folder of its files.
type usedModule struct{ path, version, dir string }

// systems are the operating systems whose modules count as linked in.
var systems = []string{"linux", "darwin", "windows"}

// modulesOf lists the modules, but for our own, that packages need on any of
// the systems.
func modulesOf(t *testing.T, args ...string) (all []usedModule) {
	t.Helper()
	const format = "{{with .Module}}{{if not .Main}}{{.Path}}\t{{.Version}}\t{{.Dir}}{{end}}{{end}}"
	for _, system := range systems {
		c := exec.Command("go", append([]string{"list", "-deps", "-f", format}, args...)...)
		c.Env = append(os.Environ(), "GOOS="+system)
		out, err := c.Output()
		if err != nil {
			t.Fatalf("go list for %s: %v", system, err)
		}
		for _, line := range strings.Split(string(out), "\n") {
			f := strings.Split(line, "\t")
			if len(f) < 3 {
				continue // of the standard library, or ours
			}
			if m := (usedModule{f[0], f[1], f[2]}); !slices.Contains(all, m) {
				all = append(all, m)
			}
		}
	}
	return all
}

// licenceName tells a licence by its words; "" where it is none of these.
func licenceName(text string) string {
	text = strings.Join(strings.Fields(text), " ")
	switch {
	case strings.Contains(text, "Apache License Version 2.0"):
		return "Apache-2.0"
	case strings.Contains(text, "Permission is hereby granted, free of charge"):
		return "MIT"
	case strings.Contains(text, "Redistribution and use in source and binary forms") &&
		strings.Contains(text, "Neither the name"):
		return "BSD-3-Clause"
	}
	return ""
}

// licenceOf reads the licence of a module.
func licenceOf(t *testing.T, m usedModule) string {
	t.Helper()
	files, _ := filepath.Glob(filepath.Join(m.dir, "LICENSE*"))
	if len(files) == 0 {
		t.Errorf("%s has no file of its licence", m.path)
		return ""
	}
	text, err := os.ReadFile(files[0])
	if err != nil {
		t.Fatal(err)
	}
	return licenceName(string(text))
}

// listedModules gives the rows of the section's first table that have four
// cells: "module version licence", sorted.
func listedModules(t *testing.T, page, section string) (rows []string) {
	t.Helper()
	_, text, found := strings.Cut(page, "\n## "+section+"\n")
	if !found {
		t.Fatalf("no section %q", section)
	}
	text, _, _ = strings.Cut(text, "\n## ")
	for _, line := range strings.Split(text, "\n") {
		cells := strings.Split(strings.Trim(line, "| "), " | ")
		if len(cells) == 4 && cells[0] != "module" && cells[0] != "---" {
			rows = append(rows, strings.Join(cells[:3], " "))
		}
	}
	slices.Sort(rows)
	return rows
}

// TestLicences: docs/licences.md lists the modules that are linked in, and
// those that tests need, with their versions and licences, and no other.
func TestLicences(t *testing.T) {
	page, err := os.ReadFile(filepath.Join("docs", "licences.md"))
	if err != nil {
		t.Fatal(err)
	}
	linked := modulesOf(t, "./cmd/ohmward")
	if len(linked) == 0 {
		t.Fatal("go list names no module that is linked in")
	}
	tests := slices.DeleteFunc(modulesOf(t, "-test", "./..."), func(m usedModule) bool {
		return slices.Contains(linked, m)
	})
	for section, used := range map[string][]usedModule{"In the program": linked, "In tests alone": tests} {
		var want []string
		for _, m := range used {
			want = append(want, strings.Join([]string{m.path, m.version, licenceOf(t, m)}, " "))
		}
		slices.Sort(want)
		if got := listedModules(t, string(page), section); !slices.Equal(got, want) {
			t.Errorf("%s:\nlisted %s\nused   %s", section, strings.Join(got, "\n       "), strings.Join(want, "\n       "))
		}
	}
}
