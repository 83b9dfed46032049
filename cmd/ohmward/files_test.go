package main

import (
	"bytes"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"

	"ohmward/demo"

	"github.com/rogpeppe/go-internal/testscript"
)

// demoboard FOLDER writes the embedded board's fabrication files into a new
// folder, to be spoilt by a script.
func demoboard(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: demoboard FOLDER")
	}
	into := ts.MkAbs(args[0])
	ts.Check(os.MkdirAll(into, 0o755))
	files := demo.Board()
	entries, err := fs.ReadDir(files, ".")
	ts.Check(err)
	for _, e := range entries {
		data, err := fs.ReadFile(files, e.Name())
		ts.Check(err)
		ts.Check(os.WriteFile(filepath.Join(into, e.Name()), data, 0o644))
	}
}

// cut FILE BYTES keeps the first bytes of a file.
func cut(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: cut FILE BYTES")
	}
	most, err := strconv.Atoi(args[1])
	ts.Check(err)
	data := []byte(ts.ReadFile(args[0]))
	if len(data) <= most {
		ts.Fatalf("cut: %s has only %d bytes", args[0], len(data))
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), data[:most], 0o644))
}

// swap FILE OLD NEW puts a text in the place of another, everywhere.
func swap(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: swap FILE OLD NEW")
	}
	data := []byte(ts.ReadFile(args[0]))
	if !bytes.Contains(data, []byte(args[1])) {
		ts.Fatalf("swap: %s does not hold %q", args[0], args[1])
	}
	data = bytes.ReplaceAll(data, []byte(args[1]), []byte(args[2]))
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), data, 0o644))
}
