package main

import (
	"bytes"
	"io/fs"
	"testing"

	"ohmward/demo"
)

// TestFilesAreCurrent compares what the generator makes with what is
// embedded, byte for byte.
func TestFilesAreCurrent(t *testing.T) {
	list, err := outputs(theBoard(t))
	if err != nil {
		t.Fatal(err)
	}
	made := map[string]bool{}
	for _, f := range list {
		made[f.path] = true
		have, err := fs.ReadFile(demo.Files(), f.path)
		if err != nil {
			t.Errorf("%s: %v; run go generate ./demo", f.path, err)
			continue
		}
		if !bytes.Equal(have, f.data) {
			t.Errorf("%s is not what the generator makes; run go generate ./demo", f.path)
		}
	}
	entries, err := fs.ReadDir(demo.Files(), "board")
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if !made["board/"+e.Name()] {
			t.Errorf("board/%s is not made by the generator", e.Name())
		}
	}
}
