package engine

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"ohmward/internal/conduct"
	"ohmward/internal/copper"
	"ohmward/internal/locate"
	"ohmward/internal/record"
)

// NetworkOf gives the network in which a reading was taken.
func (w *Locator) NetworkOf(k int) *network {
	if k < len(w.in) {
		return w.in[k]
	}
	return w.Whole()
}

// drive gives what a two-wire reading at a four-wire one's current contacts
// has as coefficients, for two bridges at once.
func (w *Locator) drive(k int) []float64 {
	if k >= len(w.Taken) {
		return nil
	}
	c := w.Taken[k]
	r, err := w.Predict(w.NetworkOf(k), Contacts{In: c.In, Out: c.Out, High: c.In, Low: c.Out})
	if err != nil || r.SameNet {
		return nil
	}
	out := make([]float64, len(w.Sites))
	for s := range out {
		out[s] = r.Predict(s)
	}
	return out
}

// Alterations is what was done to the two nets' copper before a reading.
type Alterations struct {
	opened []string      // low-ohm parts, in alphabetical order
	cuts   []conduct.Cut // tracks, in the order in which they were cut
}

func (a Alterations) equal(b Alterations) bool {
	return slices.Equal(a.opened, b.opened) && slices.Equal(a.cuts, b.cuts)
}

// network is both groups' copper in a state: what a reading saw depends on
// what had been opened and cut before it.
type network struct {
	Alterations
	Solver *solver
	plans  []planning // those made so far
}

// planning is what readings are planned on: the places to touch with some
// parts off the board, and what they and the sites see of each other.
type planning struct {
	off    []string
	probes [2][]copper.ProbePlace
	tables [2]locate.Table
}

// states are the networks known already, the whole one first.
func (s *Pair) states(ctx context.Context) *networkStates {
	n := &networkStates{s: s, ctx: ctx, list: []*network{s.Whole()}}
	if s.Predictions != nil {
		if len(s.Predictions.Networks) > 0 {
			n.list = slices.Clone(s.Predictions.Networks)
		}
		s.Predictions.Networks = n.list
	}
	return n
}

// Whole is the network with nothing opened.
func (s *Pair) Whole() *network {
	if s.Predictions != nil && len(s.Predictions.Networks) > 0 && s.Predictions.Networks[0].Solver == s.Solver {
		return s.Predictions.Networks[0]
	}
	return &network{Solver: s.Solver}
}

// networkStates keeps every state of the network that a case needs.
type networkStates struct {
	s    *Pair
	ctx  context.Context
	list []*network
}

// with gives the network in a state.
func (n *networkStates) with(st Alterations) (*network, error) {
	for _, known := range n.list {
		if known.equal(st) {
			return known, nil
		}
	}
	n.s.Progress("opening " + strings.Join(st.names(), ", "))
	whole, _, err := n.list[0].Solver.Solved()
	if err != nil {
		return nil, err
	}
	b, err := whole.Without(st.opened)
	for _, c := range st.cuts {
		if err == nil {
			b, err = b.Sever(c)
		}
	}
	if err != nil {
		return nil, err
	}
	layers, err := b.SketchLayers(n.ctx, n.s.layerSets, n.s.placeDiscs())
	if err != nil {
		return nil, err
	}
	out := &network{Alterations: st, Solver: presolved(b, layers)}
	n.list = append(n.list, out)
	if n.s.Predictions != nil {
		n.s.Predictions.Networks = n.list
	}
	return out, nil
}

// names lists what is open and cut, for people.
func (a Alterations) names() []string {
	out := slices.Clone(a.opened)
	for _, c := range a.cuts {
		out = append(out, "the cut at "+copper.Place{Layer: c.Layer, At: c.At}.String())
	}
	return out
}

// Openers are the actions that open a low-ohm part, closers those that close it
// again.
var (
	Openers = []string{"split", "removed", "lifted"}
	closers = []string{"refitted", "replaced"}
)

// opened lists the low-ohm parts of the two nets that are open after a case's
// first findings, in alphabetical order.
func (s *Pair) OpenParts(findings []record.Finding) []string {
	opens := func(f record.Finding) bool { return slices.Contains(Openers, f.Done) && s.IsTie(f.Part) }
	return standing(findings, opens)
}

// standing lists the parts, in alphabetical order, to which a finding, given in the
// order they came, did something that none fitted again after it.
func standing(findings []record.Finding, did func(record.Finding) bool) (out []string) {
	for _, f := range findings {
		at := slices.Index(out, f.Part)
		switch {
		case at < 0 && did(f):
			out = append(out, f.Part)
		case at >= 0 && slices.Contains(closers, f.Done):
			out = slices.Delete(out, at, at+1)
		}
	}
	slices.Sort(out)
	return out
}

// IsTie tells whether a low-ohm part joins nets of one of the groups.
func (s *Pair) IsTie(part string) bool {
	for _, links := range s.Links {
		if slices.ContainsFunc(links, func(l TieLink) bool { return l.Part == part }) {
			return true
		}
	}
	return false
}

// InOrder gives a case's findings as they came: by the readings before them.
func InOrder(findings []record.Finding) []record.Finding {
	out := slices.Clone(findings)
	slices.SortStableFunc(out, func(a, b record.Finding) int { return a.After - b.After })
	return out
}

// before lists the findings that came before reading i, counted from 0.
func before(findings []record.Finding, i int) []record.Finding {
	n := slices.IndexFunc(findings, func(f record.Finding) bool { return f.After > i })
	if n < 0 {
		return findings
	}
	return findings[:n]
}

// PredictUncached computes what a reading of a network is.
func (s *Pair) PredictUncached(n *network, c Contacts) (locate.Reading, error) {
	p, err := n.Solver.predict(s.FourContacts(c))
	if errors.Is(err, conduct.ErrApart) {
		return locate.Reading{}, fmt.Errorf("no copper joins its places once %s is open: take both on one side",
			strings.Join(n.names(), " and "))
	}
	if err != nil {
		return locate.Reading{}, err
	}
	r := s.readingOf(c, p)
	// What is out of reach stays so whatever share of it a layer is given.
	for _, row := range p.Rows {
		for i, v := range row {
			row[i] = min(v, 2*locate.Unreached)
		}
	}
	r.C = append(slices.Clone(p.Rows), s.allTies(n, p.Ties)...)
	return r, nil
}

// allTies puts a row of nothing where a part is open.
func (s *Pair) allTies(n *network, ties [][]float64) (out [][]float64) {
	for _, links := range s.Links {
		for _, l := range links {
			if slices.Contains(n.opened, l.Part) {
				out = append(out, []float64{0})
				continue
			}
			out, ties = append(out, ties[0]), ties[1:]
		}
	}
	return out
}

// cutOff tells of each site whether opening parts cut it off from where the
// case reads the two nets: the named ones, or the given place.
func (s *Pair) cutOff(n *network, side *copper.Spot) ([]bool, error) {
	beyond := make([]bool, len(s.Sites))
	any := false
	for g := range s.Groups {
		spot, ok := s.spotOf(g, side)
		if !ok {
			continue
		}
		b, _, err := n.Solver.Solved()
		if err != nil {
			return nil, err
		}
		joined, err := b.Joined(conduct.Probe{Group: g, Disc: s.Disc(spot)})
		if err != nil {
			return nil, err
		}
		for i, yes := range joined {
			beyond[i] = beyond[i] || !yes
			any = any || !yes
		}
	}
	if !any {
		return nil, nil
	}
	return beyond, nil
}

// spotOf gives a place on a group from which to judge what is cut off: the
// given one if it lies there, else one of the named net.
func (s *Pair) spotOf(g int, side *copper.Spot) (copper.Spot, bool) {
	if side != nil && s.GroupOfNet(side.Net) == g {
		return *side, true
	}
	return s.spotOnNet(g, s.Groups[g][0])
}

// spotOnNet is some place on a net of a group.
func (s *Pair) spotOnNet(g, net int) (copper.Spot, bool) {
	for _, p := range s.Probes[g] {
		if p.Net == net {
			return p.Spot, true
		}
	}
	for _, i := range s.Nets.Nets[net].Pads {
		p := s.Layout.Pads[i]
		return copper.Spot{Layer: p.Layer, At: p.At, Net: net}, true
	}
	return copper.Spot{}, false
}
