package picture

import (
	"bytes"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"ohmward/internal/atomicfile"
)

// drawing is a picture on its canvas, in pixels.
type drawing struct {
	wide, high int
	paint      func(canvas)
}

func (d drawing) png(w io.Writer) error {
	r := newRaster(d.wide, d.high)
	d.paint(r)
	return r.write(w)
}

func (d drawing) svg(w io.Writer) error {
	s := newSVG(d.wide, d.high)
	d.paint(s)
	return s.write(w)
}

// save draws into a file in the form that its ending names, whole or not at
// all.
func (d drawing) save(path string) error {
	form := map[string]func(io.Writer) error{".png": d.png, ".svg": d.svg}[strings.ToLower(filepath.Ext(path))]
	if form == nil {
		return fmt.Errorf("%s ends in neither .png nor .svg", path)
	}
	var drawn bytes.Buffer
	err := form(&drawn)
	if err == nil {
		err = atomicfile.Write(path, drawn.Bytes(), 0o644)
	}
	if err != nil {
		return fmt.Errorf("%w", err)
	}
	return nil
}

// PNG draws the scene on 1600 pixels of width.
func PNG(w io.Writer, s *Scene) error { return s.drawing().png(w) }

// SVG draws the same as text.
func SVG(w io.Writer, s *Scene) error { return s.drawing().svg(w) }

// Save draws the scene into a file, PNG or SVG by the ending, whole or not at
// all.
func Save(path string, s *Scene) error { return s.drawing().save(path) }

func (s *Scene) drawing() drawing {
	l := newLayout(s)
	return drawing{width, l.height, func(c canvas) { paint(c, s, l) }}
}
