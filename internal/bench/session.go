package bench

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"ohmward/internal/conduct"
	"ohmward/internal/copper"
	"ohmward/internal/locate"
	"ohmward/internal/mesh"
	"ohmward/internal/record"
	"ohmward/internal/suspect"
)

// session is a board with the two nets that touch: everything about them that
// does not depend on the readings.
type session struct {
	*opened
	names     [2]string
	groups    [2][]int // nets of each group, the named one first
	links     [2][]tieLink
	sites     []suspect.Site // the listed ones first, then the foreign
	foreign   int            // the last of sites: places not listed, for a sample
	elsewhere float64        // the chance of a place that is in neither
	lay       *locate.Lay    // of sites
	bodies    []suspect.Body
	notes     []Doubt // on what was asked
	memo      *memo   // of a case that is weighed again and again; nil: nothing is kept
	probes    [2][]copper.ProbePlace
	off       []string // parts off the board, which probes takes into account
	solver    *solver
	layerSets [][]int // layers whose thickness is told apart; what is left is plating
	tables    [2]locate.Table
}

// question is what a session is about.
type question struct {
	nets []string
	// foreign puts a sample of places that are not listed behind the others.
	foreign bool
	metal   []metalBody
	spots   []copper.Spot // places that readings have touched
	rates   suspect.Rates
	layers  bool                 // tell the layers' thickness apart
	cuts    []conduct.Cut        // places where the mesh must be fine enough to cut
	off     []string             // parts off the board, in alphabetical order
	check   func(*session) error // looks at the chosen nets before any work; may be nil
	// beside gives work to do on the other core while the copper is solved; it
	// gets the session with its suspects listed. May be nil.
	beside func(*session) func() error
}

type metalBody struct{ part, net string }

// newSession lists the suspects of two nets and solves both groups' copper.
func (p *opened) newSession(ctx context.Context, q question) (*session, error) {
	s := &session{opened: p}
	if err := s.chooseNets(q.nets); err != nil {
		return nil, err
	}
	s.reach(q.off)
	if q.check != nil {
		if err := q.check(s); err != nil {
			return nil, err
		}
	}
	if err := s.suspect(q); err != nil {
		return nil, err
	}
	if len(s.sites) == 0 {
		return nil, &Error{Kind: Bad, What: fmt.Sprintf("%s and %s come near each other nowhere on this board", s.names[0], s.names[1]),
			Hint: "check the two names, or mark metal that the files do not show with [[metal]]"}
	}
	if q.foreign {
		s.addForeign(q)
	}
	if q.layers {
		s.layerSets = s.copperLayers()
	}
	if q.beside == nil {
		return s, s.solve(ctx, q)
	}
	work, done := q.beside(s), make(chan error, 1)
	go func() { done <- work() }()
	err := s.solve(ctx, q)
	return s, errors.Join(err, <-done)
}

// chooseNets finds the two nets and the nets that low-ohm parts tie to them.
func (s *session) chooseNets(nets []string) error {
	if len(nets) != 2 {
		return &Error{Kind: Misuse, What: fmt.Sprintf("two nets are needed, %d given", len(nets)), Hint: "as --nets +3V3,GND"}
	}
	groups := s.nets.Groups(s.ties)
	for g, name := range nets {
		n, err := s.nets.ByName(name)
		if err != nil {
			return bad(err)
		}
		s.names[g] = s.nets.Nets[n].Name
		s.groups[g] = groupOf(groups, n)
	}
	for _, n := range s.groups[1] {
		if n == s.groups[0][0] {
			return &Error{Kind: Bad, What: fmt.Sprintf("%s and %s are joined by copper or by low-ohm parts: they are no two nets that must be apart", s.names[0], s.names[1]),
				Hint: "--ties none keeps low-ohm parts from joining nets"}
		}
	}
	for g, nets := range s.groups {
		s.links[g] = s.linksAmong(nets)
	}
	return nil
}

// groupOf gives the group that holds a net, the net first.
func groupOf(groups [][]int, net int) []int {
	for _, g := range groups {
		for i, n := range g {
			if n == net {
				out := append([]int{net}, g[:i]...)
				return append(out, g[i+1:]...)
			}
		}
	}
	return []int{net}
}

// tieLink is a low-ohm part in a group, with the relative uncertainty of its
// resistance.
type tieLink struct {
	conduct.Link
	Spread float64
}

// mostSpread bounds a tie's uncertainty: beyond it a Gaussian factor would
// often be negative.
const mostSpread = 0.7

// linksAmong gives the low-ohm parts that join some nets to one another.
func (p *opened) linksAmong(nets []int) (links []tieLink) {
	for _, t := range p.ties {
		if t.Open || !slices.Contains(nets, t.NetA) {
			continue
		}
		a, b := p.padOf(t.PinA), p.padOf(t.PinB)
		if a >= 0 && b >= 0 {
			links = append(links, tieLink{conduct.Link{Part: t.Part, A: a, B: b, Ohms: float64(t.Ohms)}, min(t.Sigma, mostSpread)})
		}
	}
	return links
}

// padOf gives the first pad of a pin written "FB1.1", or -1.
func (p *opened) padOf(pin string) int {
	for i, pad := range p.board.Pads {
		if pad.Ref+"."+pad.Pin == pin {
			return i
		}
	}
	return -1
}

// suspect lists where the two groups could touch.
func (s *session) suspect(q question) error {
	s.progress("listing the suspects")
	ask := s.suspectQuestion(q)
	for _, m := range q.metal {
		g, err := s.groupNamed(m.net)
		if err != nil {
			return err
		}
		ask.Bodies = append(ask.Bodies, suspect.Body{Part: m.part, Group: g})
	}
	s.bodies = ask.Bodies
	s.unboundMetal(q.metal)
	got := s.listedBy("suspects", ask, nil, func() listing {
		sites, elsewhere := suspect.List(ask)
		return listing{sites, elsewhere}
	})
	s.sites, s.elsewhere = got.Sites, got.Elsewhere
	return nil
}

func (s *session) suspectQuestion(q question) suspect.Question {
	return suspect.Question{Board: s.board, Nets: s.nets, Groups: s.groups, Rates: q.rates}
}

// sampledShare is what of the chance of a place that is not listed goes to the
// foreign ones; the rest stays with places that nothing describes.
const sampledShare = 0.8

// addForeign puts the sample of places that are not listed behind the others.
func (s *session) addForeign(q question) {
	ask := s.suspectQuestion(q)
	ask.Bodies = s.bodies
	foreign := s.listedBy("foreign", ask, s.sites, func() listing { return listing{Sites: suspect.Foreign(ask, s.sites)} }).Sites
	if len(foreign) == 0 {
		return
	}
	clusters := 0
	for _, site := range s.sites {
		clusters = max(clusters, site.Cluster+1)
	}
	for _, site := range foreign {
		site.Cluster += clusters
		site.Prior *= sampledShare * s.elsewhere
		s.sites = append(s.sites, site)
	}
	s.foreign = len(foreign)
	s.elsewhere *= 1 - sampledShare
}

// listed gives the suspects proper.
func (s *session) listed() []suspect.Site { return s.sites[:len(s.sites)-s.foreign] }

// groupNamed gives the group that a net belongs to.
func (s *session) groupNamed(net string) (int, error) {
	n, err := s.nets.ByName(net)
	if err != nil {
		return 0, bad(err)
	}
	if g := s.groupOfNet(n); g >= 0 {
		return g, nil
	}
	return 0, &Error{Kind: Bad, What: fmt.Sprintf("net %s is on neither side of the short between %s and %s", net, s.names[0], s.names[1])}
}

// groupOfNet gives 0 or 1, or -1 for a net of neither group.
func (s *session) groupOfNet(net int) int {
	for g, nets := range s.groups {
		if slices.Contains(nets, net) {
			return g
		}
	}
	return -1
}

// reach lists the places that a tip can touch on each group with some parts
// off the board.
func (s *session) reach(off []string) {
	s.off = off
	on := s.nets.Without(off)
	for g, nets := range s.groups {
		s.probes[g] = nil
		for _, n := range nets {
			s.probes[g] = append(s.probes[g], on.ProbePlaces(n)...)
		}
	}
}

// takenOff lists the parts that are off the board after findings, given in
// the order they came, in alphabetical order.
func takenOff(findings []record.Finding) []string {
	var out []string
	for _, f := range findings {
		at := slices.Index(out, f.Part)
		switch {
		case f.Done == "removed" && f.Part != "" && at < 0:
			out = append(out, f.Part)
		case slices.Contains(closers, f.Done) && at >= 0:
			out = slices.Delete(out, at, at+1)
		}
	}
	slices.Sort(out)
	return out
}

// copperLayers gives every layer that holds copper of the two groups as a set
// of its own: etching and plating change each by itself (BENCH.md). What is
// left of a reading is the plating in the holes.
func (s *session) copperLayers() (sets [][]int) {
	for l := range s.board.Layers {
		holds := func(n int) bool { return slices.Contains(s.nets.Nets[n].Layers(), l) }
		if slices.ContainsFunc(s.groups[0], holds) || slices.ContainsFunc(s.groups[1], holds) {
			sets = append(sets, []int{l})
		}
	}
	return sets
}

func (s *session) group(g int, mat conduct.Material) conduct.Group {
	return conduct.FromNets(s.nets, s.groups[g], s.plainLinks(g), mat)
}

func (s *session) plainLinks(g int) []conduct.Link {
	var out []conduct.Link
	for _, l := range s.links[g] {
		out = append(out, l.Link)
	}
	return out
}

// siteEdge is the wished edge length, in nanometres, round a suspect.
const siteEdge = 150_000

// meshing says where a group's mesh must follow contacts and suspects.
func (s *session) meshing(g int, q question) conduct.Options {
	// Copper may be solved late, when nobody listens any more.
	o := conduct.Options{Progress: func(stage string) { s.progress(stage) }, Kept: s.kept, Memory: s.memory}
	for _, p := range s.probes[g] {
		o.Discs = append(o.Discs, s.disc(p.Spot))
	}
	for _, spot := range q.spots {
		if s.groupOfNet(spot.Net) == g {
			o.Discs = append(o.Discs, s.disc(spot))
		}
	}
	for _, c := range q.cuts {
		o.Sizes = append(o.Sizes, c.Size())
	}
	for _, d := range s.siteDiscs()[g][:len(s.listed())] {
		o.Sizes = append(o.Sizes, conduct.SheetSize{Layer: d.Layer, Size: mesh.Size{At: d.At, Radius: s.tip / 2, Edge: siteEdge}})
	}
	return o
}

// bridgeTip is the diameter (nanometres) of a short's contact on each net.
const bridgeTip = 300_000

// siteDiscs gives each suspect's contact on each group.
func (s *session) siteDiscs() (discs [2][]conduct.Disc) {
	for _, site := range s.sites {
		discs[0] = append(discs[0], conduct.Disc{Layer: site.LayerA, At: site.A, Diameter: bridgeTip})
		discs[1] = append(discs[1], conduct.Disc{Layer: site.LayerB, At: site.B, Diameter: bridgeTip})
	}
	return discs
}
