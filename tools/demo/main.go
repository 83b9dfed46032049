// Command generate makes the fabrication files of the demo board, an
// invented river-level logger: it places the parts, routes every net, pours
// the ground on both layers and writes Gerber X2, component layer, drill and
// job files. The same source always makes the same bytes.
package main

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
)

func main() {
	dir := flag.String("o", "demo", "the demo `folder` to write into")
	flag.Parse()
	if err := run(*dir); err != nil {
		fmt.Fprintf(os.Stderr, "generate: error: %v\n", err)
		os.Exit(1)
	}
}

// run builds the board and writes its files below dir.
func run(dir string) error {
	b, err := build()
	if err != nil {
		return err
	}
	list, err := outputs(b)
	if err != nil {
		return err
	}
	for _, f := range list {
		path := filepath.Join(dir, filepath.FromSlash(f.path))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			return err
		}
		if err := os.WriteFile(path, f.data, 0o644); err != nil {
			return err
		}
	}
	return nil
}
