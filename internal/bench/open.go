package bench

import (
	"context"
	"errors"
	"math"
	"strings"
	"sync"

	"ohmward/demo"
	"ohmward/internal/board"
	"ohmward/internal/boardread"
	"ohmward/internal/cache"
	"ohmward/internal/conduct"
	"ohmward/internal/copper"
	"ohmward/internal/repair"
	"ohmward/unit"
)

// opened is a board with its nets, and the figures that hold for it.
type opened struct {
	board     *board.Board
	nets      *copper.Nets
	tip       int64 // nanometres
	material  conduct.Material
	ties      []copper.Tie // what joins nets, and what might: those are open
	notes     []Doubt      // on what was asked of the copper
	etched    bool         // its edges were taken back
	progress  func(stage string)
	kept      *cache.Store
	memory    int64
	copperKey func() cache.Key          // worked out once
	hints     func() []copper.MetalHint // found once
	handling  func() []repair.Part      // the parts as the files have them, found once
}

// demoName is the board argument that stands for the embedded demo.
const demoName = "demo"

// open reads a board and finds its nets.
func open(ctx context.Context, path string, o Options) (*opened, error) {
	p := &opened{
		tip:      copper.DefaultTip,
		material: conduct.Material{Temp: unit.Celsius(20)},
		progress: o.Progress,
		kept:     o.Kept,
		memory:   o.Memory,
	}
	if p.progress == nil {
		p.progress = func(string) {}
	}
	if o.GivenTip {
		p.tip = nanometres(o.Tip)
	}
	if o.GivenTemp {
		p.material.Temp = o.Temp
	}
	asked, err := o.boardOptions()
	if err != nil {
		return nil, err
	}
	p.progress("reading the board")
	if path == demoName {
		p.board, err = boardread.Read(demo.Board(), demoName, asked)
	} else {
		p.board, err = boardread.Open(ctx, path, asked, p.progress)
	}
	if err != nil {
		return nil, bad(err)
	}
	p.progress("finding the nets")
	opt := copper.Options{Tip: p.tip}
	if o.GivenClose {
		opt.Close = nanometres(o.Close)
	}
	if o.GivenEtch {
		opt.Etch, p.etched = nanometres(o.Etch), true
	}
	if p.nets, err = copper.Extract(ctx, p.board, opt); err != nil {
		return nil, bad(err)
	}
	if p.ties, err = p.tiesOf(o); err != nil {
		return nil, bad(err)
	}
	p.fillHoles(o.Filled)
	p.copperKey = sync.OnceValue(p.keyOfCopper)
	p.hints, p.handling = sync.OnceValue(p.nets.MetalHints), sync.OnceValue(p.repairParts)
	return p, nil
}

// fillHoles takes plated holes as filled with solder: all of them, or those in
// the pads of parts' pins.
func (p *opened) fillHoles(which string) {
	if which != "all" && which != "pins" {
		return
	}
	filled, any := make([]bool, len(p.board.Holes)), false
	for i, h := range p.board.Holes {
		filled[i] = which == "all" && h.Plated
		any = any || filled[i]
	}
	for _, pad := range p.board.Pads {
		if pad.Hole >= 0 {
			filled[pad.Hole], any = true, true
		}
	}
	p.material.Filled = filled
	if !any {
		p.notes = append(p.notes, Doubt{What: "solder fills no hole: the files name no part's pin with a plated hole in its pad; --filled all fills all of them"})
	}
}

// tiesOf lists the low-ohm parts as the user has them. With "none" those that
// the files tell of join nothing.
func (p *opened) tiesOf(o Options) ([]copper.Tie, error) {
	ties := p.nets.LowOhmParts()
	for i := range ties {
		ties[i].Open = ties[i].Open || o.Ties == "none"
	}
	var edits []copper.TieEdit
	for _, e := range o.TieEdits {
		edit := copper.TieEdit{Part: e.Part, Pins: e.Pins, Open: e.Open, Ohms: e.Ohms}
		if e.Factor > 0 {
			edit.Sigma = math.Log(e.Factor)
		}
		edits = append(edits, edit)
	}
	return p.nets.EditTies(ties, edits)
}

func (o Options) boardOptions() (boardread.Options, error) {
	b := boardread.Options{Roles: o.Roles, Kept: o.Kept}
	if o.Copy != "" {
		n, err := boardread.ParseCopy(o.Copy)
		if err != nil {
			return b, &Error{Kind: Bad, What: "copy " + err.Error()}
		}
		b.Copy = n
	}
	if b.Copper = o.CopperEach; o.GivenCopper {
		b.Copper = []unit.Length{o.Copper}
	}
	if o.GivenPlating {
		b.Plating = o.Plating
	}
	if o.GivenThickness {
		b.Thickness = o.Thickness
	}
	return b, nil
}

func nanometres(l unit.Length) int64 { return int64(float64(l)*1e9 + 0.5) }

// bad wraps an error of the input or the work; an Error stays as it is.
func bad(err error) error {
	var e *Error
	if errors.As(err, &e) || errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	what, hint, _ := strings.Cut(err.Error(), "\n")
	return &Error{Kind: Bad, What: what, Hint: hint, Cause: err}
}

// doubts lists what the board's files and copper leave open.
func (p *opened) doubts() []Doubt {
	out := []Doubt{}
	for _, list := range [][]board.Doubt{p.board.Doubts, p.nets.Doubts} {
		for _, d := range list {
			out = append(out, Doubt{File: d.File, Line: d.Line, What: d.What, Code: string(d.Code)})
		}
	}
	return append(out, p.notes...)
}

// trusted gives the error that goes with an answer from files only part-read.
// It names the first such file.
func (p *opened) trusted() error {
	if !p.board.Partial {
		return nil
	}
	for _, d := range p.board.Doubts {
		if d.Part {
			return &Error{Kind: Doubtful, What: d.File + ": " + d.What, Hint: "what is printed holds for the part that was read"}
		}
	}
	return &Error{Kind: Doubtful, What: "a fabrication file was read only in part: see the doubts"}
}

// disc is the contact of a probe at a spot.
func (p *opened) disc(s copper.Spot) conduct.Disc {
	return conduct.Disc{Layer: s.Layer, At: s.At, Diameter: p.tip}
}

// place writes a spot as the answers have it.
func (p *opened) place(s copper.Spot) *Place {
	x, y := s.At.MM()
	return &Place{Layer: p.board.Layers[s.Layer].Name, X: x, Y: y, Pin: s.Pin}
}

// resolve finds a place as a person writes it.
func (p *opened) resolve(text string) (copper.Spot, error) {
	place, err := copper.ParsePlace(text)
	if err != nil {
		return copper.Spot{}, err
	}
	return p.nets.Resolve(place)
}
