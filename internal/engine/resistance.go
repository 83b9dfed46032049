package engine

import (
	"context"
	"fmt"
	"slices"

	"ohmward/internal/conduct"
	"ohmward/internal/copper"
)

// Path is the copper between two places on one net, or on nets that low-ohm
// parts join.
type Path struct {
	conduct.Bounds
	// Err says why these two places have no resistance; the other pairs asked
	// for together with them may have one.
	Err error
	// Links are the low-ohm parts of the path's nets where it was asked for
	// across nets, in the order of Flow's Ties.
	Links []TieLink

	contacts *conduct.Contacts
	pair     [2]int
}

// Flow solves for a current from one place to the other: what the resistance
// is made of.
func (p *Path) Flow() (*conduct.Flow, error) { return p.contacts.Flow(p.pair) }

// Paths gives the resistance between the two places of each pair, which lie on
// one net or on nets that low-ohm parts join. All pairs on the same copper
// share one solution. accuracy is the relative half-width of the brackets that
// is asked for; 0 is the default.
func (p *Board) Paths(ctx context.Context, pairs [][2]copper.Spot, accuracy float64) ([]Path, error) {
	out := make([]Path, len(pairs))
	groups := map[netKey]*pathGroup{}
	var order []*pathGroup
	for i, pair := range pairs {
		key := netKey{pair[0].Net, pair[0].Net != pair[1].Net}
		g := groups[key]
		if g == nil {
			g = p.newPathGroup(key)
			groups[key] = g
			order = append(order, g)
		}
		g.pairs = append(g.pairs, [2]int{g.disc(p.Disc(pair[0])), g.disc(p.Disc(pair[1]))})
		g.results = append(g.results, i)
	}
	for _, g := range order {
		if err := p.solvePaths(ctx, g, out, accuracy); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// netKey is the copper that a pair is solved on: one net, or those joined to
// it.
type netKey struct {
	net    int
	joined bool
}

// pathGroup is the pairs on the same copper; each contact is solved for once.
type pathGroup struct {
	nets    []int
	links   []TieLink
	discs   []conduct.Disc
	number  map[conduct.Disc]int
	pairs   [][2]int // of discs
	results []int    // of each pair, where its result goes
}

func (p *Board) newPathGroup(key netKey) *pathGroup {
	g := &pathGroup{nets: []int{key.net}, number: map[conduct.Disc]int{}}
	if key.joined {
		g.nets = p.joinedTo(key.net)
		g.links = p.linksAmong(g.nets)
	}
	return g
}

func (g *pathGroup) disc(d conduct.Disc) int {
	n, ok := g.number[d]
	if !ok {
		n = len(g.discs)
		g.number[d] = n
		g.discs = append(g.discs, d)
	}
	return n
}

func (p *Board) solvePaths(ctx context.Context, g *pathGroup, out []Path, accuracy float64) error {
	group := conduct.FromNets(p.Nets, g.nets, plain(g.links), p.Material)
	o := conduct.Options{Discs: g.discs, Progress: p.Progress, Cache: p.Cache, Memory: p.Memory}
	contacts, err := conduct.Solve(ctx, group, o, g.pairs, accuracy)
	if err != nil {
		return err
	}
	for i, pair := range g.pairs {
		path := Path{contacts: contacts, pair: pair, Links: g.links}
		path.Bounds, path.Err = contacts.Resistance(pair[0], pair[1])
		out[g.results[i]] = path
	}
	return nil
}

// joinedTo gives a net with those that low-ohm parts join to it, the net first.
func (p *Board) joinedTo(net int) []int { return groupOf(p.Nets.Groups(p.Ties), net) }

// PathEnds finds two places and checks that they can have a resistance.
func (p *Board) PathEnds(fromText, toText string) (from, to copper.Spot, err error) {
	if from, err = p.Resolve(fromText); err != nil {
		return from, to, err
	}
	if to, err = p.Resolve(toText); err != nil {
		return from, to, err
	}
	if from.Net == to.Net || slices.Contains(p.joinedTo(from.Net), to.Net) {
		return from, to, nil
	}
	if a, b := p.Nets.Nets[from.Net].Data, p.Nets.Nets[to.Net].Data; p.etched && a == b && a != "" {
		return from, to,
			fmt.Errorf("no copper joins %s and %s: net %s falls apart where --etch takes its narrow copper away",
				fromText, toText, a)
	}
	return from, to, fmt.Errorf("%s is on net %s and %s on net %s: choose two places on one net",
		fromText, p.Nets.Nets[from.Net].Name, toText, p.Nets.Nets[to.Net].Name)
}

// PathEndsOf finds the places of many pairs.
func (p *Board) PathEndsOf(pairs [][2]string) ([][2]copper.Spot, error) {
	out := make([][2]copper.Spot, len(pairs))
	for i, pair := range pairs {
		from, to, err := p.PathEnds(pair[0], pair[1])
		if err != nil {
			return nil, err
		}
		out[i] = [2]copper.Spot{from, to}
	}
	return out, nil
}
