package bench

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"ohmward/internal/answer"
	"ohmward/internal/engine"
	"ohmward/internal/record"
	"ohmward/unit"
)

// Reading is a reading as a case file has it.
type Reading = record.Reading

// SaveOptions begin a case, or add to one, without an editor.
type SaveOptions struct {
	Nets     []string         // of a new case on a board; nil: a case file is there
	Meter    string           // profile of a new case; "": the default
	Readings []record.Reading // taken besides those of the case
	Save     string           // file of the new case; "": none is written
	Picture  string           // file to draw into; "": none
}

// IsCase tells whether a path names a case file rather than a board.
func IsCase(path string) bool {
	return slices.Contains([]string{".toml", ".json"}, strings.ToLower(filepath.Ext(path)))
}

// LocateAnd says where the short is on a board with the readings given, or of a case
// with these added, and writes the case down once it is answered.
func LocateAnd(ctx context.Context, where string, s SaveOptions, o engine.Options) (*answer.Location, error) {
	if IsCase(where) {
		return locateMore(ctx, where, s, o)
	}
	c, err := newCase(where, s, o)
	if err != nil {
		return nil, err
	}
	a, err := locateCase(ctx, c, s.Picture, o)
	if a == nil || s.Save == "" {
		return a, err
	}
	if failed := record.Create(s.Save, c, "begun", commandWriter()); failed != nil {
		return a, unsaved("the case", failed)
	}
	a.Saved = s.Save
	return a, err
}

// locateMore adds readings to a case: only what was answered is written.
func locateMore(ctx context.Context, path string, s SaveOptions, o engine.Options) (*answer.Location, error) {
	c, err := record.Read(path)
	if err != nil {
		return nil, answer.AsError(err)
	}
	c.Readings = append(c.Readings, s.Readings...)
	a, err := locateCase(ctx, c, s.Picture, o)
	if a == nil {
		return nil, err
	}
	_, failed := record.Update(path, commandWriter(), map[string]int{"readings added": len(s.Readings)},
		func(now *record.Case) error {
			now.Readings = append(now.Readings, s.Readings...)
			return nil
		})
	if failed != nil {
		return a, unsaved("the readings", failed)
	}
	a.Saved = path
	return a, err
}

// newCase is a case on a board, with the figures that were given.
func newCase(board string, s SaveOptions, o engine.Options) (*record.Case, error) {
	c := &record.Case{File: s.Save, Board: board, Nets: [2]string{s.Nets[0], s.Nets[1]},
		Meter:    record.Meter{Profile: s.Meter, Tip: o.Tip},
		Copper:   record.Copper{Plating: o.Plating, Board: o.Thickness, Etch: o.Etch, Close: o.Close, Filled: o.Filled, Temp: o.Temp, Ties: o.Ties},
		Readings: s.Readings}
	if o.Copper != nil {
		c.Copper.Thickness = []unit.Length{*o.Copper}
	}
	for _, e := range o.TieEdits {
		t := record.Tie{Part: e.Part, Pins: e.Pins, Open: e.Open}
		if !e.Open {
			ohms := e.Ohms
			t.Ohms = &ohms
		}
		c.Ties = append(c.Ties, t)
	}
	if len(o.Roles) > 0 || o.Copy != "" {
		c.Steps = &record.Steps{Roles: o.Roles, Copy: o.Copy}
	}
	if s.Save == "" {
		return c, nil
	}
	if !IsCase(s.Save) {
		return nil, &answer.Error{Kind: answer.Misuse, What: s.Save + " ends in neither .toml nor .json",
			Hint: "as --save unit17.toml"}
	}
	if _, err := os.Lstat(s.Save); !errors.Is(err, fs.ErrNotExist) {
		return nil, &answer.Error{Kind: answer.Misuse, What: fmt.Sprintf("%s is there already", s.Save),
			Hint: "add to it: ohmward locate " + s.Save + " --reading FROM,TO=OHMS"}
	}
	return c, besideCase(c, board)
}

// besideCase writes the board's path as seen from the case file.
func besideCase(c *record.Case, board string) error {
	if board == record.Demo {
		return nil
	}
	from, err := filepath.Abs(filepath.Dir(c.File))
	if err == nil {
		board, err = filepath.Abs(board)
	}
	if err != nil {
		return answer.AsError(err)
	}
	c.Board = board
	if rel, err := filepath.Rel(from, board); err == nil {
		c.Board = filepath.ToSlash(rel)
	}
	return nil
}

// commandWriter is a command that writes a case.
func commandWriter() record.Writer {
	return record.Writer{Bench: fmt.Sprintf("ohmward locate, process %d", os.Getpid()), Who: record.Account(),
		Now: time.Now}
}
