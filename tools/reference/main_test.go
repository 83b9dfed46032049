package main

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"
)

// TestFilesAreCurrent compares what the generator makes with what stands in
// testdata, byte for byte.
func TestFilesAreCurrent(t *testing.T) {
	dir := filepath.Join("..", "..", "testdata", "reference", "board")
	made := files(design())
	for name, data := range made {
		have, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			t.Errorf("%v; run go run ./tools/reference", err)
		} else if !bytes.Equal(have, data) {
			t.Errorf("%s is not what the generator makes; run go run ./tools/reference", name)
		}
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	if len(entries) != len(made) {
		t.Errorf("%d files in %s, want %d", len(entries), dir, len(made))
	}
}
