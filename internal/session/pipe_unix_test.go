//go:build unix

package session

import (
	"errors"
	"io/fs"
	"os"
	"syscall"
	"testing"
)

// makePipe puts a pipe that nobody writes to in the place of a file.
func makePipe(t *testing.T, path string) {
	t.Helper()
	if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
		t.Fatal(err)
	}
	if err := syscall.Mkfifo(path, 0o644); err != nil {
		t.Fatal(err)
	}
}
