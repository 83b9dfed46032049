package ohmward

import (
	"context"
	"slices"
	"sync"

	"ohmward/internal/engine"
	"ohmward/unit"
)

// Options are what the caller says over the fabrication data; what is nil or
// empty is left to the data, and then to the defaults.
type Options struct {
	Copper    *unit.Length      // thickness of every copper layer; 35 um where nothing tells
	Plating   *unit.Length      // thickness of the copper in plated holes; 25 um
	Thickness *unit.Length      // of the board, layers equally spaced; 1.6 mm
	Tip       *unit.Length      // diameter of a probe's contact; 0.30 mm
	Etch      *unit.Length      // how far etching took every copper edge back; nothing
	Temp      *unit.Temperature // of the copper; 20 °C
	Ties      string            // "none": parts of a few ohms or less do not join nets
	Roles     []string          // what files are, where their names mislead: "plane.art=copper L2"
	Copy      string            // of a panel: "2" for its second board, "all" for all of it
	Memory    int64             // bytes that factoring one matrix may take; 0: 4 GB
}

// WithProgress gives a context under which the name of each stage is given to
// progress as it starts. Calls come one at a time, from any goroutine.
func WithProgress(ctx context.Context, progress func(stage string)) context.Context {
	return context.WithValue(ctx, progressKey{}, progress)
}

type progressKey struct{}

func progressOf(ctx context.Context) func(stage string) {
	if progress, ok := ctx.Value(progressKey{}).(func(string)); ok && progress != nil {
		return progress
	}
	return func(string) {}
}

// Board is a board with the nets that its copper makes. Its methods may be
// called from several goroutines at once.
type Board struct{ own *engine.Board }

// OpenBoard reads a board and finds its nets. path is a folder or a .zip of
// Gerber and drill files, or one IPC-2581 file.
func OpenBoard(ctx context.Context, path string, o Options) (*Board, error) {
	b, err := engine.Open(ctx, path, engine.Options{
		Copper: o.Copper, Plating: o.Plating, Thickness: o.Thickness, Tip: o.Tip, Etch: o.Etch, Temp: o.Temp,
		Ties: o.Ties, Roles: o.Roles, Copy: o.Copy, Memory: o.Memory, Progress: progressOf(ctx),
	})
	if err != nil {
		return nil, engine.AsError(err)
	}
	b.Progress = func(string) {}
	return &Board{b}, nil
}

// Nets lists the names of the board's nets.
func (b *Board) Nets() []string {
	out := make([]string, len(b.own.Nets.Nets))
	for i := range out {
		out[i] = b.own.Nets.Nets[i].Name
	}
	return out
}

// Doubt is something in the fabrication files that a person should look at.
type Doubt struct {
	File string // "" where it is of no single file
	Line int    // from 1; 0: of no single line
	What string // in words
}

// Doubts lists what the files and the copper leave open.
func (b *Board) Doubts() []Doubt {
	var out []Doubt
	for _, d := range slices.Concat(b.own.Layout.Doubts, b.own.Nets.Doubts, b.own.Notes) {
		out = append(out, Doubt{File: d.File, Line: d.Line, What: d.What})
	}
	return out
}

// Resistance is the copper between two places. The truth for this copper lies
// between Low and High, which bracket the solver's own error alone.
type Resistance struct {
	Ohms, Low, High unit.Resistance // the best value, and bounds of it
}

// Resistance predicts the copper between two places on one net, or on nets that
// parts of a few ohms or less join. A place is written "C7.1" (part and pin) or
// "L1@12.30,45.60" (layer and millimetres in the files' frame).
func (b *Board) Resistance(from, to string) (Resistance, error) {
	all, err := b.Resistances(context.Background(), [][2]string{{from, to}})
	if err != nil {
		return Resistance{}, err
	}
	return all[0], nil
}

// Resistances does so for many pairs; those on one net share its solution.
func (b *Board) Resistances(ctx context.Context, pairs [][2]string) ([]Resistance, error) {
	own := *b.own
	own.Progress = progressOf(ctx)
	ends, err := own.PathEndsOf(pairs)
	if err != nil {
		return nil, engine.AsError(err)
	}
	paths, err := own.Paths(ctx, ends, 0)
	if err != nil {
		return nil, engine.AsError(err)
	}
	out := make([]Resistance, len(paths))
	for i, p := range paths {
		if p.Err != nil {
			return nil, engine.AsError(p.Err)
		}
		out[i] = Resistance{unit.Resistance(p.Ohms), unit.Resistance(p.Low), unit.Resistance(p.High)}
	}
	return out, nil
}

// Metal is a body that the fabrication files do not show, such as a shell: its
// part, and the net that its tabs are soldered to.
type Metal = engine.Metal

// Pair solves the copper of two nets that should be apart and lists every place
// where they could touch.
func (b *Board) Pair(ctx context.Context, netA, netB string, metal ...Metal) (*Pair, error) {
	own := *b.own
	own.Progress = progressOf(ctx)
	c := &engine.Case{Nets: [2]string{netA, netB}, Metal: metal}
	w, err := own.Locator(ctx, c)
	if err != nil {
		return nil, engine.AsError(err)
	}
	w.Pair.Progress = func(string) {}
	w.Pair.Predictions = engine.NewPredictions()
	return &Pair{own: w.Pair, mu: new(sync.Mutex)}, nil
}
