package picture

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
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

// Save draws the scene into a file, PNG or SVG by the ending: first into a
// temporary file beside it, which is then renamed.
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
	tmp, err := os.CreateTemp(filepath.Dir(path), ".picture-*")
	if err != nil {
		return fmt.Errorf("picture: %w", err)
	}
	if err := finish(tmp, path, form); err != nil {
		os.Remove(tmp.Name())
		return fmt.Errorf("picture: %w", err)
	}
	return nil
}

// finish writes, closes and renames.
func finish(tmp *os.File, path string, write func(io.Writer) error) error {
	w := bufio.NewWriter(tmp)
	err := write(w)
	if err == nil {
		err = w.Flush()
	}
	if closing := tmp.Close(); err == nil {
		err = closing
	}
	if err == nil {
		err = os.Chmod(tmp.Name(), 0o644)
	}
	if err == nil {
		err = os.Rename(tmp.Name(), path)
	}
	return err
}
