package picture

import (
	"bytes"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"ohmward/internal/atomicfile"
)

// PNG draws the scene on 1600 pixels of width.
func PNG(w io.Writer, s *Scene) error {
	l := newLayout(s)
	r := newRaster(width, l.height)
	paint(r, s, l)
	return r.write(w)
}

// SVG draws the same as text.
func SVG(w io.Writer, s *Scene) error {
	l := newLayout(s)
	out := newSVG(width, l.height)
	paint(out, s, l)
	return out.write(w)
}

// Save draws the scene into a file, PNG or SVG by the ending, whole or not at
// all.
func Save(path string, s *Scene) error {
	return save(path,
		func(w io.Writer) error { return PNG(w, s) },
		func(w io.Writer) error { return SVG(w, s) })
}

// save draws in the form that the file's ending names.
func save(path string, png, svg func(io.Writer) error) error {
	var form func(io.Writer) error
	switch strings.ToLower(filepath.Ext(path)) {
	case ".png":
		form = png
	case ".svg":
		form = svg
	default:
		return fmt.Errorf("picture: %s ends in neither .png nor .svg", path)
	}
	var drawn bytes.Buffer
	err := form(&drawn)
	if err == nil {
		err = atomicfile.Write(path, drawn.Bytes(), 0o644)
	}
	if err != nil {
		return fmt.Errorf("picture: %w", err)
	}
	return nil
}
