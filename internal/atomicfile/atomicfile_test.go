package atomicfile

import (
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"testing"
)

// names lists a folder.
func names(t *testing.T, dir string) (all []string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		all = append(all, e.Name())
	}
	return all
}

func TestWrite(t *testing.T) {
	for name, write := range map[string]func(string, []byte, fs.FileMode) error{"synced": Write, "unsynced": WriteUnsynced} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			path := filepath.Join(dir, "a.txt")
			for _, c := range []struct {
				text         string
				before, want fs.FileMode // before: set on the file that is there
			}{{"new", 0, 0o644}, {"again", 0o600, 0o600}, {"", 0o444, 0o444}} {
				if c.before != 0 {
					if err := os.Chmod(path, c.before); err != nil {
						t.Fatal(err)
					}
				}
				if err := write(path, []byte(c.text), 0o644); err != nil {
					t.Fatal(err)
				}
				got, err := os.ReadFile(path)
				if err != nil || string(got) != c.text {
					t.Errorf("%q: read back %q, %v", c.text, got, err)
				}
				if info, err := os.Stat(path); err != nil || info.Mode() != c.want {
					t.Errorf("%q: mode %v, want %v", c.text, info.Mode(), c.want)
				}
			}
			if got := names(t, dir); !slices.Equal(got, []string{"a.txt"}) {
				t.Errorf("the folder holds %v", got)
			}
		})
	}
}

// A write that fails leaves what was there, and no temporary file.
func TestFailure(t *testing.T) {
	dir := t.TempDir()
	taken := filepath.Join(dir, "taken") // a folder that holds something cannot be renamed over
	if err := os.MkdirAll(filepath.Join(taken, "inside"), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := Write(taken, []byte("x"), 0o644); err == nil {
		t.Error("a folder was replaced")
	}
	if got := names(t, dir); !slices.Equal(got, []string{"taken"}) {
		t.Errorf("the folder holds %v", got)
	}
	if got := names(t, taken); !slices.Equal(got, []string{"inside"}) {
		t.Errorf("the folder in the way holds %v", got)
	}
	if err := Write(filepath.Join(dir, "none", "a"), nil, 0o644); err == nil {
		t.Error("written into a folder that is not there")
	}
}
