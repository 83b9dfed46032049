// Package demo holds the embedded demo: the fabrication files of an invented
// river-level logger and the case files of three units that failed. The
// files under board/ and faults.json come from the program in tools/demo;
// lengths in them are millimetres in the board's own frame, y up.
package demo

import (
	"embed"
	"io/fs"
)

//go:generate go run ../tools/demo -o .

//go:embed board cases faults.json
var files embed.FS

// Files gives the demo's folder: board/ with the fabrication files, cases/
// with the case files, and faults.json with the true places of the shorts.
func Files() fs.FS { return files }

// Board gives the folder of fabrication files alone.
func Board() fs.FS { return sub("board") }

// Cases gives the folder of case files alone.
func Cases() fs.FS { return sub("cases") }

// sub opens a folder that is embedded; it cannot fail but by our own bug.
func sub(dir string) fs.FS {
	f, err := fs.Sub(files, dir)
	if err != nil {
		panic("demo: " + err.Error())
	}
	return f
}
