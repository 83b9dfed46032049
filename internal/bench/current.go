package bench

import (
	"context"
	"fmt"
	"strings"

	"ohmward/internal/conduct"
	"ohmward/internal/copper"
	"ohmward/internal/picture"
	"ohmward/unit"
)

// CurrentOptions say which current flows where.
type CurrentOptions struct {
	From, To  string
	Amps      unit.Current
	Short     string // "PLACE/PLACE" where the two nets touch; "" on one net
	ShortOhms unit.Resistance
	Picture   string // file to draw into, or ""
}

// Current says where an injected current flows, and how much is safe.
func Current(ctx context.Context, path string, c CurrentOptions, o Options) (*CurrentAnswer, error) {
	p, err := open(ctx, path, o)
	if err != nil {
		return nil, err
	}
	legs, a, err := p.current(ctx, c)
	if err != nil {
		return nil, bad(err)
	}
	if c.Picture != "" {
		p.progress("drawing")
		if err := picture.SaveFlow(c.Picture, p.flowScene(c, legs, a)); err != nil {
			return nil, bad(err)
		}
		a.Picture = c.Picture
	}
	return a, p.trusted()
}

// current solves the current's way, leg by leg.
func (p *opened) current(ctx context.Context, c CurrentOptions) ([]leg, *CurrentAnswer, error) {
	legs, err := p.legs(c)
	if err != nil {
		return nil, nil, err
	}
	for i := range legs {
		if err := p.flow(ctx, &legs[i]); err != nil {
			return nil, nil, fmt.Errorf("%s to %s: %w", p.spotText(legs[i].from), p.spotText(legs[i].to), err)
		}
	}
	return legs, p.currentAnswer(c, legs), nil
}

// leg is the current's way through one net.
type leg struct {
	from, to copper.Spot
	flow     *conduct.Flow
	group    conduct.Group
}

// legs gives the way from place to place: through one net, or through two by
// way of the short.
func (p *opened) legs(c CurrentOptions) ([]leg, error) {
	from, err := p.resolve(c.From)
	if err != nil {
		return nil, err
	}
	to, err := p.resolve(c.To)
	if err != nil {
		return nil, err
	}
	if c.Short == "" {
		if from.Net != to.Net {
			return nil, fmt.Errorf("%s is on net %s and %s on net %s\ngive two places on one net, or say where the nets touch: --short L1@1.00,2.00/L1@1.20,2.00",
				c.From, p.nets.Nets[from.Net].Name, c.To, p.nets.Nets[to.Net].Name)
		}
		return []leg{{from: from, to: to}}, nil
	}
	return p.bridged(c, from, to)
}

// bridged gives the two legs by way of the short.
func (p *opened) bridged(c CurrentOptions, from, to copper.Spot) ([]leg, error) {
	textA, textB, two := strings.Cut(c.Short, "/")
	if !two {
		return nil, fmt.Errorf("the short %q is not two places: write it as L1@1.00,2.00/L1@1.20,2.00", c.Short)
	}
	a, err := p.resolve(textA)
	if err != nil {
		return nil, err
	}
	b, err := p.resolve(textB)
	if err != nil {
		return nil, err
	}
	if a.Net != from.Net {
		a, b = b, a
	}
	if from.Net == to.Net || a.Net != from.Net || b.Net != to.Net {
		return nil, fmt.Errorf("the short %q does not join net %s of %s to net %s of %s", c.Short,
			p.nets.Nets[from.Net].Name, c.From, p.nets.Nets[to.Net].Name, c.To)
	}
	return []leg{{from: from, to: a}, {from: b, to: to}}, nil
}

// flow solves a leg. Its copper is one net's, without the parts that join it
// to others.
func (p *opened) flow(ctx context.Context, l *leg) error {
	l.group = conduct.FromNets(p.nets, []int{l.from.Net}, nil, p.material)
	discs := []conduct.Disc{p.disc(l.from), p.disc(l.to)}
	if discs[0] == discs[1] {
		return conduct.ErrTouching
	}
	contacts, err := conduct.Solve(ctx, l.group, conduct.Options{Discs: discs, Progress: p.progress, Kept: p.kept, Memory: p.memory}, [][2]int{{0, 1}}, 0)
	if err != nil {
		return err
	}
	l.flow, err = contacts.Flow([2]int{0, 1})
	return err
}

// spotText names a spot by its pin or where it is.
func (p *opened) spotText(s copper.Spot) string {
	if s.Pin != "" {
		return s.Pin
	}
	x, y := s.At.MM()
	return fmt.Sprintf("%s@%.2f,%.2f", p.board.Layers[s.Layer].Name, x, y)
}
