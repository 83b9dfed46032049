// Command reference makes the fabrication files of the reference board, an
// invented input card with four copper layers (testdata/reference). The
// copper is made for checking resistances: poured planes with antipads and
// thermal reliefs, necked tracks, plated holes, a slot and blind vias. The
// same source always makes the same bytes.
package main

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
)

func main() {
	dir := flag.String("o", "testdata/reference/board", "the `folder` to write into")
	flag.Parse()
	if err := run(*dir); err != nil {
		fmt.Fprintf(os.Stderr, "reference: error: %v\n", err)
		os.Exit(1)
	}
}

// run writes the board's files into dir.
func run(dir string) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	for name, data := range files(design()) {
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
			return err
		}
	}
	return nil
}

// files renders every file of the board, by name.
func files(b *board) map[string][]byte {
	all := map[string][]byte{
		"FS-8-profile.gbr":  profileFile(),
		"FS-8-plated.drl":   drillFile("Plated,1,4,PTH", b.platedHits()),
		"FS-8-blind.drl":    drillFile("Plated,1,2,Blind", b.blindHits()),
		"FS-8-unplated.drl": drillFile("NonPlated,1,4,NPTH", b.mounts),
	}
	for l := 1; l <= layers; l++ {
		all[fmt.Sprintf("FS-8-copper-%d.gbr", l)] = b.copperFile(l)
	}
	return all
}
