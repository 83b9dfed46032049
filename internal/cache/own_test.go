//go:build unix

package cache

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestOwnFolder: a cache that others may write to is not used, and told.
func TestOwnFolder(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "cache")
	t.Setenv(Variable, dir)
	if s, err := User(); err != nil || s == nil {
		t.Errorf("a folder that is still to be made: %v", err)
	}
	if err := os.Mkdir(dir, 0o700); err != nil {
		t.Fatal(err)
	}
	for mode, mine := range map[os.FileMode]bool{0o700: true, 0o755: true, 0o775: true, 0o777: false, 0o702: false} {
		if err := os.Chmod(dir, mode); err != nil {
			t.Fatal(err)
		}
		s, err := User()
		if (err == nil) != mine || (s != nil) != mine {
			t.Errorf("mode %o: %v", mode, err)
		}
	}
	if os.Geteuid() != 0 {
		t.Setenv(Variable, "/") // root's
		if _, err := User(); err == nil || !strings.Contains(err.Error(), "another user") {
			t.Errorf("another user's folder: %v", err)
		}
		return
	}
	if err := os.Chmod(dir, 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.Chown(dir, 12345, -1); err != nil {
		t.Skip("the owner cannot be changed here: ", err)
	}
	if _, err := User(); err == nil || !strings.Contains(err.Error(), "another user") {
		t.Errorf("another user's folder: %v", err)
	}
}
