package bench

import (
	"context"
	"errors"
	"fmt"
	"io/fs"

	"ohmward/internal/answer"
	"ohmward/internal/board"
	"ohmward/internal/copper"
	"ohmward/internal/engine"
)

// Board reads a board; at lists places to name the net of.
func Board(ctx context.Context, path string, at []string, o engine.Options) (*answer.Board, error) {
	p, err := open(ctx, path, o)
	if err != nil {
		return nil, err
	}
	a := &answer.Board{
		Header: answer.NewHeader(), Name: p.Layout.Name, Doubts: Doubts(p),
		Layers: []answer.Layer{}, Nets: []answer.Net{}, Parts: []answer.Part{}, Files: []answer.File{},
		Ties: []answer.Tie{}, Metal: []answer.Metal{},
	}
	Describe(p, a)
	if at != nil {
		a.At = []answer.PlacedNet{}
	}
	for _, text := range at {
		a.At = append(a.At, netAt(p, text))
	}
	return a, trusted(p)
}

// unsaved says of an answer that a file which was asked for is not there.
func unsaved(what string, err error) error {
	why := err.Error()
	if file := (*fs.PathError)(nil); errors.As(err, &file) {
		why = fmt.Sprintf("%s: %v", file.Path, file.Err)
	}
	return &answer.Error{Kind: answer.Unsaved, What: what + " could not be written: " + why, Cause: err,
		Hint: "the answer stands; give the file another place, or make room"}
}

// guessNames are a guess's names in the answers.
var guessNames = map[copper.Rail]string{copper.Ground: "ground", copper.Supply: "supply"}

func Describe(p *engine.Board, a *answer.Board) {
	for i, l := range p.Layout.Layers {
		a.Layers = append(a.Layers, answer.Layer{Name: l.Name, Side: sideName(i, len(p.Layout.Layers)),
			File: l.File, CopperUM: p.Layout.Stack.Copper[i].UM()})
	}
	box := p.Layout.Outline.Bounds()
	if !box.Empty() {
		a.Size = [2]float64{float64(box.Max.X-box.Min.X) * 1e-6, float64(box.Max.Y-box.Min.Y) * 1e-6}
	}
	for _, h := range p.Layout.Holes {
		if h.Plated {
			a.Holes.Plated++
		} else {
			a.Holes.Unplated++
		}
	}
	for i := range p.Nets.Nets {
		n := &p.Nets.Nets[i]
		net := answer.Net{Name: n.Name, Was: n.Was, Pads: len(n.Pads), Copper: n.Area * 1e6, Layers: []string{},
			Guess: guessNames[p.Nets.GuessedRail(i)]}
		for _, l := range n.Layers() {
			net.Layers = append(net.Layers, p.Layout.Layers[l].Name)
		}
		a.Nets = append(a.Nets, net)
	}
	for _, part := range p.Layout.Parts {
		a.Parts = append(a.Parts, answer.Part{Ref: part.Ref, Side: boardSide(part.Side), Pins: p.Pins(part),
			Value: part.Value})
	}
	for _, t := range p.Ties {
		a.Ties = append(a.Ties, answer.Tie{Part: t.Part, Kind: t.Kind, Pins: [2]string{t.PinA, t.PinB},
			Nets: [2]string{p.Nets.Nets[t.NetA].Name, p.Nets.Nets[t.NetB].Name},
			Ohms: float64(t.Ohms), Range: t.Factor(), Joins: !t.Open, Why: t.Why})
	}
	for _, m := range p.Hints() {
		a.Metal = append(a.Metal, answer.Metal{Part: m.Part, Net: p.Nets.Nets[m.Net].Name, Pins: m.Pins})
	}
	for i, c := range p.Layout.Copies {
		x, y := c.Box.Min.MM()
		x2, y2 := c.Box.Max.MM()
		a.Copies = append(a.Copies, answer.Copy{Number: i + 1, X: x, Y: y, Width: x2 - x, Height: y2 - y})
	}
	a.Copy = p.Layout.Copy
	for _, f := range p.Layout.Files {
		a.Files = append(a.Files, answer.File{Path: f.Path, Role: f.Role, Why: f.Why})
	}
}

func sideName(layer, layers int) string {
	switch layer {
	case 0:
		return "top"
	case layers - 1:
		return "bottom"
	}
	return "inner"
}

func boardSide(s board.Side) string {
	if s == board.Bottom {
		return "bottom"
	}
	return "top"
}

// netAt names the net at a place; bare laminate has none.
func netAt(p *engine.Board, text string) answer.PlacedNet {
	spot, err := p.Resolve(text)
	if err != nil {
		return noNetAt(p, text, err)
	}
	x, y := spot.At.MM()
	name := p.Nets.Nets[spot.Net].Name
	return answer.PlacedNet{Layer: p.Layout.Layers[spot.Layer].Name, X: x, Y: y, Net: &name, Pin: spot.Pin,
		Rim: p.Nets.InHole(spot)}
}

// noNetAt tells bare laminate from a place that does not exist.
func noNetAt(p *engine.Board, text string, why error) answer.PlacedNet {
	place, err := copper.ParsePlace(text)
	if err != nil || place.Pin != "" || place.Layer >= len(p.Layout.Layers) {
		return answer.PlacedNet{Error: why.Error()}
	}
	x, y := place.At.MM()
	return answer.PlacedNet{Layer: p.Layout.Layers[place.Layer].Name, X: x, Y: y}
}
