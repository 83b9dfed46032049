package bench

import (
	"context"

	"ohmward/internal/board"
	"ohmward/internal/copper"
)

// Board reads a board; at lists places to name the net of.
func Board(ctx context.Context, path string, at []string, o Options) (*BoardAnswer, error) {
	p, err := open(ctx, path, o)
	if err != nil {
		return nil, err
	}
	a := &BoardAnswer{
		Header: NewHeader(), Name: p.board.Name, Doubts: p.doubts(),
		Layers: []Layer{}, Nets: []Net{}, Parts: []Part{}, Files: []File{}, Ties: []Tie{}, Metal: []Metal{},
	}
	p.describe(a)
	for _, text := range at {
		a.At = append(a.At, p.netAt(text))
	}
	return a, p.trusted()
}

func (p *opened) describe(a *BoardAnswer) {
	for i, l := range p.board.Layers {
		a.Layers = append(a.Layers, Layer{l.Name, sideName(i, len(p.board.Layers)), l.File, p.board.Stack.Copper[i].UM()})
	}
	box := p.board.Outline.Bounds()
	if !box.Empty() {
		a.Size = [2]float64{float64(box.Max.X-box.Min.X) * 1e-6, float64(box.Max.Y-box.Min.Y) * 1e-6}
	}
	for _, h := range p.board.Holes {
		if h.Plated {
			a.Holes.Plated++
		} else {
			a.Holes.Unplated++
		}
	}
	for i := range p.nets.Nets {
		n := &p.nets.Nets[i]
		net := Net{Name: n.Name, Was: n.Was, Pads: len(n.Pads), Copper: n.Area * 1e6, Layers: []string{}}
		for _, l := range n.Layers() {
			net.Layers = append(net.Layers, p.board.Layers[l].Name)
		}
		a.Nets = append(a.Nets, net)
	}
	for _, part := range p.board.Parts {
		a.Parts = append(a.Parts, Part{part.Ref, boardSide(part.Side), p.pins(part), part.Value})
	}
	for _, t := range p.ties {
		a.Ties = append(a.Ties, Tie{t.Part, t.Kind, [2]string{t.PinA, t.PinB}, [2]string{p.nets.Nets[t.NetA].Name, p.nets.Nets[t.NetB].Name},
			float64(t.Ohms), t.Factor(), !t.Open, t.Why})
	}
	for _, m := range p.hints() {
		a.Metal = append(a.Metal, Metal{m.Part, p.nets.Nets[m.Net].Name, m.Pins})
	}
	for i, c := range p.board.Copies {
		x, y := c.Box.Min.MM()
		x2, y2 := c.Box.Max.MM()
		a.Copies = append(a.Copies, Copy{i + 1, x, y, x2 - x, y2 - y})
	}
	a.Copy = p.board.Copy
	for _, f := range p.board.Files {
		a.Files = append(a.Files, File{f.Path, f.Role, f.Why})
	}
}

// pins counts a part's pins: several pads of one name are one pin.
func (p *opened) pins(part board.Part) int {
	seen := map[string]bool{}
	for _, i := range part.Pads {
		seen[p.board.Pads[i].Pin] = true
	}
	return len(seen)
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
func (p *opened) netAt(text string) PlacedNet {
	spot, err := p.resolve(text)
	if err != nil {
		return p.noNetAt(text, err)
	}
	x, y := spot.At.MM()
	name := p.nets.Nets[spot.Net].Name
	return PlacedNet{Layer: p.board.Layers[spot.Layer].Name, X: x, Y: y, Net: &name, Pin: spot.Pin}
}

// noNetAt tells bare laminate from a place that does not exist.
func (p *opened) noNetAt(text string, why error) PlacedNet {
	place, err := copper.ParsePlace(text)
	if err != nil || place.Pin != "" || place.Layer >= len(p.board.Layers) {
		return PlacedNet{Error: why.Error()}
	}
	x, y := place.At.MM()
	return PlacedNet{Layer: p.board.Layers[place.Layer].Name, X: x, Y: y}
}
