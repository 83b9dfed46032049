package bench

import (
	"context"
	"fmt"
	"strings"

	"ohmward/internal/answer"
	"ohmward/internal/conduct"
	"ohmward/internal/copper"
	"ohmward/internal/engine"
	"ohmward/internal/picture"
	"ohmward/unit"
)

// CurrentOptions say which current flows where.
type CurrentOptions struct {
	From, To  string          // where the current goes in, and out
	Amps      unit.Current    // the current
	Short     string          // "PLACE/PLACE" where the two nets touch; "" on one net
	ShortOhms unit.Resistance // resistance of the short
	Picture   string          // file to draw into, or ""
}

// Current says where an injected current flows, and how much is safe.
func Current(ctx context.Context, path string, c CurrentOptions, o engine.Options) (*answer.Current, error) {
	p, err := open(ctx, path, o)
	if err != nil {
		return nil, err
	}
	legs, a, err := SolveCurrent(ctx, p, c)
	if err != nil {
		return nil, answer.AsError(err)
	}
	if c.Picture != "" {
		p.Progress("drawing")
		if err := picture.SaveFlow(c.Picture, FlowScene(p, c, legs, a)); err != nil {
			return a, unsaved("the picture", err)
		}
		a.Picture = c.Picture
	}
	return a, trusted(p)
}

// SolveCurrent solves the current's way, leg by leg.
func SolveCurrent(ctx context.Context, p *engine.Board, c CurrentOptions) ([]leg, *answer.Current, error) {
	legs, err := legs(p, c)
	if err != nil {
		return nil, nil, err
	}
	for i := range legs {
		if err := flow(ctx, p, &legs[i]); err != nil {
			return nil, nil, fmt.Errorf("%s to %s: %w", spotText(p, legs[i].from), spotText(p, legs[i].to), err)
		}
	}
	return legs, currentAnswer(p, c, legs), nil
}

// leg is the current's way through one net.
type leg struct {
	from, to copper.Spot
	flow     *conduct.Flow
	group    conduct.Group
}

// legs gives the way from place to place: through one net, or through two by
// way of the short.
func legs(p *engine.Board, c CurrentOptions) ([]leg, error) {
	from, err := p.Resolve(c.From)
	if err != nil {
		return nil, err
	}
	to, err := p.Resolve(c.To)
	if err != nil {
		return nil, err
	}
	if c.Short == "" {
		if from.Net != to.Net {
			return nil, fmt.Errorf("%s is on net %s and %s on net %s\ngive two places on one net, or say where the "+
				"nets touch: --short L1@1.00,2.00/L1@1.20,2.00",
				c.From, p.Nets.Nets[from.Net].Name, c.To, p.Nets.Nets[to.Net].Name)
		}
		return []leg{{from: from, to: to}}, nil
	}
	return bridged(p, c, from, to)
}

// bridged gives the two legs by way of the short.
func bridged(p *engine.Board, c CurrentOptions, from, to copper.Spot) ([]leg, error) {
	textA, textB, two := strings.Cut(c.Short, "/")
	if !two {
		return nil, fmt.Errorf("the short %q is not two places: write it as L1@1.00,2.00/L1@1.20,2.00", c.Short)
	}
	a, err := p.Resolve(textA)
	if err != nil {
		return nil, err
	}
	b, err := p.Resolve(textB)
	if err != nil {
		return nil, err
	}
	if a.Net != from.Net {
		a, b = b, a
	}
	if from.Net == to.Net || a.Net != from.Net || b.Net != to.Net {
		return nil, fmt.Errorf("the short %q does not join net %s of %s to net %s of %s", c.Short,
			p.Nets.Nets[from.Net].Name, c.From, p.Nets.Nets[to.Net].Name, c.To)
	}
	return []leg{{from: from, to: a}, {from: b, to: to}}, nil
}

// flow solves a leg. Its copper is one net's, without the parts that join it
// to others.
func flow(ctx context.Context, p *engine.Board, l *leg) error {
	l.group = conduct.FromNets(p.Nets, []int{l.from.Net}, nil, p.Material)
	discs := []conduct.Disc{p.Disc(l.from), p.Disc(l.to)}
	if discs[0] == discs[1] {
		return conduct.ErrTouching
	}
	contacts, err := conduct.Solve(ctx, l.group,
		conduct.Options{Discs: discs, Progress: p.Progress, Cache: p.Cache, Memory: p.Memory}, [][2]int{{0, 1}}, 0)
	if err != nil {
		return err
	}
	l.flow, err = contacts.Flow([2]int{0, 1})
	return err
}

// spotText names a spot by its pin or where it is.
func spotText(p *engine.Board, s copper.Spot) string {
	if s.Pin != "" {
		return s.Pin
	}
	x, y := s.At.MM()
	return fmt.Sprintf("%s@%.2f,%.2f", p.Layout.Layers[s.Layer].Name, x, y)
}
