package engine

import (
	"context"
	"math"
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

// Board is a board with its nets, and the figures that hold for it.
type Board struct {
	Layout    *board.Board              // as the files have it
	Nets      *copper.Nets              // copper by net
	Tip       int64                     // nanometres
	Material  conduct.Material          // of the copper
	Ties      []copper.Tie              // what joins nets, and what might: those are open
	Notes     []board.Doubt             // on what was asked of the copper
	etched    bool                      // its edges were taken back
	Progress  func(stage string)        // is called with each stage; may be nil
	Cache     *cache.Store              // on disk; nil: none
	Memory    int64                     // bytes that factoring one matrix may take; 0: 4 GB
	copperKey func() cache.Key          // worked out once
	Hints     func() []copper.MetalHint // found once
	handling  func() []repair.Part      // the parts as the files have them, found once
}

// DemoName is the board argument that stands for the embedded demo.
const DemoName = "demo"

// Open reads a board and finds its nets.
func Open(ctx context.Context, path string, o Options) (*Board, error) {
	p := &Board{
		Tip:      copper.DefaultTip,
		Material: conduct.Material{Temp: unit.Celsius(20)},
		Progress: o.Progress,
		Cache:    o.Cache,
		Memory:   o.Memory,
	}
	if p.Progress == nil {
		p.Progress = func(string) {}
	}
	if o.Tip != nil {
		p.Tip = Nanometres(*o.Tip)
	}
	put(&p.Material.Temp, o.Temp)
	asked, err := o.boardOptions()
	if err != nil {
		return nil, err
	}
	p.Progress("reading the board")
	if path == DemoName {
		p.Layout, err = boardread.Read(demo.Board(), DemoName, asked)
	} else {
		p.Layout, err = boardread.Open(ctx, path, asked, p.Progress)
	}
	if err != nil {
		return nil, err
	}
	p.Progress("finding the nets")
	opt := copper.Options{Tip: p.Tip}
	if o.Close != nil {
		opt.Close = Nanometres(*o.Close)
	}
	if o.Etch != nil {
		opt.Etch, p.etched = Nanometres(*o.Etch), true
	}
	if p.Nets, err = copper.Extract(ctx, p.Layout, opt); err != nil {
		return nil, err
	}
	if p.Ties, err = p.TiesOf(o); err != nil {
		return nil, err
	}
	p.Notes = append(p.Notes, p.Nets.DoubtChains(p.Ties)...)
	p.fillHoles(o.Filled)
	p.copperKey = sync.OnceValue(p.keyOfCopper)
	p.Hints, p.handling = sync.OnceValue(p.Nets.MetalHints), sync.OnceValue(p.repairParts)
	return p, nil
}

// fillHoles takes plated holes as filled with solder: all of them, or those in
// the pads of parts' pins.
func (p *Board) fillHoles(which string) {
	if which != "all" && which != "pins" {
		return
	}
	filled, any := make([]bool, len(p.Layout.Holes)), false
	for i, h := range p.Layout.Holes {
		filled[i] = which == "all" && h.Plated
		any = any || filled[i]
	}
	for _, pad := range p.Layout.Pads {
		if pad.Hole >= 0 {
			filled[pad.Hole], any = true, true
		}
	}
	p.Material.Filled = filled
	if !any {
		p.Notes = append(p.Notes, board.Doubt{What: "solder fills no hole: the files name no part's pin with a " +
			"plated hole in its pad; --filled all fills all of them"})
	}
}

// TiesOf lists the low-ohm parts as the user has them. With "none" those that
// the files tell of join nothing.
func (p *Board) TiesOf(o Options) ([]copper.Tie, error) {
	ties := p.Nets.LowOhmParts()
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
	return p.Nets.EditTies(ties, edits)
}

func (o Options) boardOptions() (boardread.Options, error) {
	b := boardread.Options{Roles: o.Roles, Cache: o.Cache, Early: o.Early}
	if o.Copy != "" {
		var err error
		if b.Copy, err = boardread.ParseCopy(o.Copy); err != nil {
			return b, &Error{What: "copy " + err.Error()}
		}
	}
	if b.Copper = o.CopperEach; o.Copper != nil {
		b.Copper = []unit.Length{*o.Copper}
	}
	put(&b.Plating, o.Plating)
	put(&b.Thickness, o.Thickness)
	return b, nil
}

func Nanometres(l unit.Length) int64 { return int64(float64(l)*1e9 + 0.5) }

// Disc is the contact of a probe at a spot.
func (p *Board) Disc(s copper.Spot) conduct.Disc {
	return conduct.Disc{Layer: s.Layer, At: s.At, Diameter: p.Tip}
}

// Resolve finds a place as a person writes it.
func (p *Board) Resolve(text string) (copper.Spot, error) {
	place, err := copper.ParsePlace(text)
	if err != nil {
		return copper.Spot{}, err
	}
	return p.Nets.Resolve(place)
}
