package engine

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"ohmward/internal/board"
	"ohmward/internal/conduct"
	"ohmward/internal/copper"
	"ohmward/internal/locate"
	"ohmward/internal/mesh"
	"ohmward/internal/parallel"
	"ohmward/internal/record"
	"ohmward/internal/suspect"
)

// Pair is a board with the two nets that touch: everything about them that
// does not depend on the readings.
type Pair struct {
	*Board
	Names       [2]string              // of the two nets
	Groups      [2][]int               // nets of each group, the named one first
	Links       [2][]TieLink           // low-ohm parts in each group
	Sites       []suspect.Site         // the listed ones first, then the foreign
	Foreign     int                    // the last of sites: places not listed, for a sample
	Elsewhere   float64                // the chance of a place that is in neither
	Index       *locate.SiteIndex      // of sites
	Bodies      []suspect.Body         // metal bodies on the two nets
	Notes       []board.Doubt          // on what was asked
	Predictions *Predictions           // of a case that is weighed again and again; nil: nothing is cached
	Probes      [2][]copper.ProbePlace // where each group can be touched
	off         []string               // parts off the board, which probes takes into account
	Solver      *solver                // the copper, solved when asked
	layerSets   [][]int                // layers whose thickness is kept apart; what is left is plating
	Tables      [2]locate.Table        // of each group, for planning
}

// PairOptions say what a pair is solved for.
type PairOptions struct {
	Nets []string // two names
	// Foreign puts a sample of places that are not listed behind the others.
	Foreign bool
	Metal   []Metal           // parts with a metal body, and its net
	spots   []copper.Spot     // places that readings have touched
	Rates   suspect.Rates     // how often each kind of short happens
	Layers  bool              // tell the layers' thickness apart
	cuts    []conduct.Cut     // places where the mesh must be fine enough to cut
	off     []string          // parts off the board, in alphabetical order
	check   func(*Pair) error // looks at the chosen nets before any work; may be nil
	// Beside gives work to do on the other core while the copper is solved; it
	// gets the pair with its suspects listed. May be nil.
	Beside func(*Pair) func() error
}

// NewPair lists the suspects of two nets and solves both groups' copper.
func (p *Board) NewPair(ctx context.Context, q PairOptions) (*Pair, error) {
	s := &Pair{Board: p}
	if err := s.ChooseNets(q.Nets); err != nil {
		return nil, err
	}
	s.reach(q.off)
	if q.check != nil {
		if err := q.check(s); err != nil {
			return nil, err
		}
	}
	if err := s.Suspect(q); err != nil {
		return nil, err
	}
	if len(s.Sites) == 0 {
		return nil, &Error{What: fmt.Sprintf("%s and %s come near each other nowhere on this board", s.Names[0],
			s.Names[1]),
			Hint: "check the two names, or mark metal that the files do not show with [[metal]]"}
	}
	if q.Foreign {
		s.addForeign(q)
	}
	if q.Layers {
		s.layerSets = s.copperLayers()
	}
	if q.Beside == nil {
		return s, s.solve(ctx, q)
	}
	work := q.Beside(s)
	var beside parallel.Group
	var failed error
	beside.Go(func() { failed = work() })
	err := s.solve(ctx, q)
	beside.Wait()
	return s, errors.Join(err, failed)
}

// ChooseNets finds the two nets and the nets that low-ohm parts tie to them.
func (s *Pair) ChooseNets(nets []string) error {
	if len(nets) != 2 {
		return &Error{What: fmt.Sprintf("two nets are needed, %d given", len(nets)), Hint: "as --nets +3V3,GND"}
	}
	groups := s.Nets.Groups(s.Ties)
	for g, name := range nets {
		n, err := s.Nets.ByName(name)
		if err != nil {
			return err
		}
		s.Names[g] = s.Nets.Nets[n].Name
		s.Groups[g] = groupOf(groups, n)
	}
	if slices.Contains(s.Groups[1], s.Groups[0][0]) {
		return s.oneNet(nets, s.Groups[0][0], s.Groups[1][0])
	}
	for g, nets := range s.Groups {
		s.Links[g] = s.linksAmong(nets)
	}
	return nil
}

// oneNet is the error for two names of copper that hangs together, or that
// low-ohm parts join: which, and what takes them out.
func (s *Pair) oneNet(names []string, a, b int) error {
	const no = "so that they are not two shorted nets"
	if a == b {
		e := &Error{What: fmt.Sprintf("%s and %s are one piece of copper, called %s, %s", names[0], names[1],
			s.Names[0], no)}
		if where := s.Nets.WhereMet(names[0], names[1]); where != "" {
			e.What, e.Hint = e.What+": "+where, "is that a short in the data, a net tie or a closed jumper?"
		}
		return e
	}
	what := fmt.Sprintf("%s and %s are joined by parts of low resistance, %s: %s", s.Names[0], s.Names[1], no,
		s.Nets.ChainText(s.Nets.Chain(s.Ties, a, b), a))
	const all = "--ties none takes out all such parts"
	open := s.Nets.Untie(s.Ties, a, b)
	if len(open) == 0 || len(open) > mostFlags {
		return &Error{What: what, Hint: all}
	}
	return &Error{What: what, Hint: fmt.Sprintf("where a part of them is not fitted or is open: %s; %s",
		copper.Flags(open), all)}
}

// mostFlags is how many parts are named to be taken out.
const mostFlags = 6

// groupOf gives the group that holds a net, the net first.
func groupOf(groups [][]int, net int) []int {
	for _, g := range groups {
		if i := slices.Index(g, net); i >= 0 {
			return slices.Concat([]int{net}, g[:i], g[i+1:])
		}
	}
	return []int{net}
}

// TieLink is a low-ohm part in a group, with the relative uncertainty of its
// resistance.
type TieLink struct {
	conduct.Link
	Spread float64 // standard deviation, relative
}

// mostSpread bounds a tie's uncertainty: beyond it a Gaussian factor would
// often be negative.
const mostSpread = 0.7

// linksAmong gives the low-ohm parts that join some nets to one another.
func (p *Board) linksAmong(nets []int) (links []TieLink) {
	for _, t := range p.Ties {
		if t.Open || !slices.Contains(nets, t.NetA) {
			continue
		}
		a, b := p.padOf(t.PinA), p.padOf(t.PinB)
		if a >= 0 && b >= 0 {
			links = append(links, TieLink{conduct.Link{Part: t.Part, A: a, B: b, Ohms: float64(t.Ohms)},
				min(t.Sigma, mostSpread)})
		}
	}
	return links
}

// padOf gives the first pad of a pin written "FB1.1", or -1.
func (p *Board) padOf(pin string) int {
	return slices.IndexFunc(p.Layout.Pads, func(pad board.Pad) bool { return pad.Ref+"."+pad.Terminal() == pin })
}

// Suspect lists where the two groups could touch.
func (s *Pair) Suspect(q PairOptions) error {
	s.Progress("listing the suspects")
	ask := s.suspectQuestion(q)
	for _, m := range q.Metal {
		g, err := s.groupNamed(m.Net)
		if err != nil {
			return err
		}
		ask.Bodies = append(ask.Bodies, suspect.Body{Part: m.Part, Group: g})
	}
	s.Bodies = ask.Bodies
	s.unboundMetal(q.Metal)
	got := s.listedBy("suspects", ask, nil, func() listing {
		sites, elsewhere := suspect.List(ask)
		return listing{sites, elsewhere}
	})
	s.Sites, s.Elsewhere = got.Sites, got.Elsewhere
	return nil
}

func (s *Pair) suspectQuestion(q PairOptions) suspect.Question {
	return suspect.Question{Board: s.Layout, Nets: s.Nets, Groups: s.Groups, Rates: q.Rates}
}

// sampledShare is what of the chance of a place that is not listed goes to the
// foreign ones; the rest stays with places that nothing describes.
const sampledShare = 0.8

// addForeign puts the sample of places that are not listed behind the others.
func (s *Pair) addForeign(q PairOptions) {
	ask := s.suspectQuestion(q)
	ask.Bodies = s.Bodies
	foreign := s.listedBy("foreign", ask, s.Sites,
		func() listing { return listing{Sites: suspect.Foreign(ask, s.Sites)} }).Sites
	if len(foreign) == 0 {
		return
	}
	clusters := 1 + slices.MaxFunc(s.Sites, func(a, b suspect.Site) int { return a.Cluster - b.Cluster }).Cluster
	for _, site := range foreign {
		site.Cluster += clusters
		site.Prior *= sampledShare * s.Elsewhere
		s.Sites = append(s.Sites, site)
	}
	s.Foreign = len(foreign)
	s.Elsewhere *= 1 - sampledShare
}

// Listed gives the suspects proper.
func (s *Pair) Listed() []suspect.Site { return s.Sites[:len(s.Sites)-s.Foreign] }

// groupNamed gives the group that a net belongs to.
func (s *Pair) groupNamed(net string) (int, error) {
	n, err := s.Nets.ByName(net)
	if err != nil {
		return 0, err
	}
	if g := s.GroupOfNet(n); g >= 0 {
		return g, nil
	}
	return 0, &Error{What: fmt.Sprintf("net %s is on neither side of the short between %s and %s", net,
		s.Names[0], s.Names[1])}
}

// GroupOfNet gives 0 or 1, or -1 for a net of neither group.
func (s *Pair) GroupOfNet(net int) int {
	return slices.IndexFunc(s.Groups[:], func(nets []int) bool { return slices.Contains(nets, net) })
}

// reach lists the places that a tip can touch on each group with some parts
// off the board.
func (s *Pair) reach(off []string) {
	s.off = off
	on := s.Nets.Without(off)
	for g, nets := range s.Groups {
		s.Probes[g] = nil
		for _, n := range nets {
			s.Probes[g] = append(s.Probes[g], on.ProbePlaces(n)...)
		}
	}
}

// takenOff lists the parts that are off the board after findings, given in
// the order they came, in alphabetical order.
func takenOff(findings []record.Finding) []string {
	return standing(findings, func(f record.Finding) bool { return f.Done == "removed" && f.Part != "" })
}

// copperLayers gives every layer that holds copper of the two groups as a set
// of its own: etching and plating change each by itself (BENCH.md). What is
// left of a reading is the plating in the holes.
func (s *Pair) copperLayers() (sets [][]int) {
	for l := range s.Layout.Layers {
		holds := func(n int) bool { return slices.Contains(s.Nets.Nets[n].Layers(), l) }
		if slices.ContainsFunc(slices.Concat(s.Groups[:]...), holds) {
			sets = append(sets, []int{l})
		}
	}
	return sets
}

func (s *Pair) group(g int, mat conduct.Material) conduct.Group {
	return conduct.FromNets(s.Nets, s.Groups[g], plain(s.Links[g]), mat)
}

// PlainLinks gives the low-ohm parts of a group.
func (s *Pair) PlainLinks(g int) []conduct.Link { return plain(s.Links[g]) }

func plain(links []TieLink) (out []conduct.Link) {
	for _, l := range links {
		out = append(out, l.Link)
	}
	return out
}

// siteEdge is the wished edge length, in nanometres, round a suspect.
const siteEdge = 150_000

// coarse is how coarsely a pair of nets is meshed away from its places and suspects.
// Against outlines followed to a micrometre, angles of 25 degrees and a grading of a
// half, the first place of all 22 cases of the shared checks stays, in two 0.06 and
// 0.2 mm along its gap; a place's chance changes by 0.21 in one, 0.04 in another and
// at most 0.023 in the rest. A board of planes full of antipads has half the unknowns.
var coarse = conduct.Options{Simplify: 4000, MinAngle: 20, Grading: 0.8}

// meshing says where a group's mesh must follow contacts and suspects.
func (s *Pair) meshing(g int, q PairOptions) conduct.Options {
	o := coarse
	// Copper may be solved late, when nobody listens any more.
	o.Progress, o.Cache, o.Memory = func(stage string) { s.Progress(stage) }, s.Cache, s.Memory
	for _, p := range s.Probes[g] {
		o.Discs = append(o.Discs, s.Disc(p.Spot))
	}
	for _, spot := range q.spots {
		if d := s.Disc(spot); s.GroupOfNet(spot.Net) == g && !slices.Contains(o.Discs, d) {
			o.Discs = append(o.Discs, d)
		}
	}
	for _, c := range q.cuts {
		o.Sizes = append(o.Sizes, c.Size())
	}
	for _, d := range s.siteDiscs()[g][:len(s.Listed())] {
		o.Sizes = append(o.Sizes, conduct.SheetSize{Layer: d.Layer,
			Size: mesh.Size{At: d.At, Radius: s.Tip / 2, Edge: siteEdge}})
	}
	return o
}

// bridgeTip is the diameter (nanometres) of a short's contact on each net.
const bridgeTip = 300_000

// siteDiscs gives each suspect's contact on each group.
func (s *Pair) siteDiscs() (discs [2][]conduct.Disc) {
	for _, site := range s.Sites {
		discs[0] = append(discs[0], conduct.Disc{Layer: site.LayerA, At: site.A, Diameter: bridgeTip})
		discs[1] = append(discs[1], conduct.Disc{Layer: site.LayerB, At: site.B, Diameter: bridgeTip})
	}
	return discs
}
