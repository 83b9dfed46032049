package engine

import (
	"cmp"
	"context"
	"math"
	"slices"

	"ohmward/geom"
	"ohmward/internal/board"
	"ohmward/internal/conduct"
	"ohmward/internal/copper"
	"ohmward/internal/locate"
)

// mostProbes bounds the places of one net that a plan considers.
const mostProbes = 160

// InjectedAmps and differencedVolts are the four-wire reading with injected
// current that is reckoned with: 0.5 A, and 2 µV where current on and off are
// differenced.
const (
	InjectedAmps     = 0.5
	DifferencedVolts = 2e-6
)

// tabulate prepares what planning needs in the network as it now is: what the
// reachable places and the sites see of each other.
func (s *Pair) tabulate(ctx context.Context) error {
	s.Progress("preparing the places to touch")
	b, _, err := s.Solver.Solved()
	if err != nil {
		return err
	}
	tables, err := tablesOf(ctx, b, s.placesToTouch())
	if err != nil {
		return err
	}
	return s.planOn(tables)
}

// tablesOf solves for the places to touch of both groups.
func tablesOf(ctx context.Context, b *conduct.Bridge,
	discs [2][]conduct.Disc) (tables [2]conduct.Table, err error) {
	for g := range tables {
		if err := ctx.Err(); err != nil {
			return tables, err
		}
		t, err := b.Table(g, discs[g])
		if err != nil {
			return tables, err
		}
		tables[g] = *t
	}
	return tables, nil
}

// placesToTouch thins the places out to what a plan considers, and gives their
// contacts.
func (s *Pair) placesToTouch() (discs [2][]conduct.Disc) {
	for g := range discs {
		s.Probes[g] = spread(s.Probes[g], mostProbes)
	}
	return s.placeDiscs()
}

// placeDiscs gives the contacts of the places that are left.
func (s *Pair) placeDiscs() (discs [2][]conduct.Disc) {
	for g := range discs {
		for _, p := range s.Probes[g] {
			discs[g] = append(discs[g], s.Disc(p.Spot))
		}
	}
	return discs
}

// planOn takes what the places see as what is planned on.
func (s *Pair) planOn(tables [2]conduct.Table) (err error) {
	for g, t := range tables {
		of := locate.Table{R: t.R, G: t.G, GP: t.Own}
		for _, p := range s.Probes[g] {
			of.Probes = append(of.Probes, s.probeAnswer(p))
		}
		if s.Tables[g], err = of.Prepare(s.Names[g], len(s.Sites)); err != nil {
			return err
		}
	}
	return nil
}

func (s *Pair) probeAnswer(p copper.ProbePlace) locate.Probe {
	x, y := p.At.MM()
	out := locate.Probe{
		ID: s.PlaceText(p.Spot), X: x, Y: y, SizeMM: float64(p.Width) * 1e-6,
		Reach: true, Clip: p.Kind == "pin" || p.Kind == "via",
	}
	if p.Sides[board.Top] {
		out.Sides |= locate.Top
	}
	if p.Sides[board.Bottom] {
		out.Sides |= locate.Bottom
	}
	return out
}

// PlaceText writes a spot so that a case file takes it: by its pin where that
// names one pad, else by its point.
func (s *Board) PlaceText(spot copper.Spot) string {
	if spot.Pin != "" {
		if at, err := s.Resolve(spot.Pin); err == nil && at.Layer == spot.Layer && at.At == spot.At {
			return spot.Pin
		}
	}
	return copper.Place{Layer: spot.Layer, At: spot.At}.String()
}

// spread keeps at most n places, each the farthest from all chosen before it,
// beginning with the widest.
func spread(places []copper.ProbePlace, n int) []copper.ProbePlace {
	if len(places) <= n {
		return places
	}
	all := make([]int, len(places))
	for i := range all {
		all[i] = i
	}
	apart := func(i, j int) float64 { return DistanceMM(places[i].At, places[j].At) }
	var spaced []copper.ProbePlace
	for _, i := range locate.Farthest(all, []int{0}, n, apart) {
		spaced = append(spaced, places[i])
	}
	return spaced
}

// When four-wire readings are offered: while the place is open by more than one
// look takes in, after so many two-wire ones where those still tell something,
// and so many of them at most: what is left of their errors is the copper's and
// the same in all. Common practice, no source.
const (
	StillWideMM  = 3.0
	manyTwoWire  = 4
	MostFourWire = 4
)

// Reads gives the readings to choose from. Four-wire ones, with two clips for
// the current and two tips for the volts, are offered where two-wire ones are no
// longer worth their time, or go on without coming near, and one of them is worth
// more: on copper too wide for its resistance to show beside that of the tips.
func (w *Locator) Reads(post *locate.Posterior) ([]locate.Move, locate.Advice, error) {
	costs := w.MoveCosts
	costs.At = w.pose(costs.At)
	two, err := post.Next(w.Tables[0], w.Tables[1], costs)
	if err != nil {
		return nil, locate.Advice{}, err
	}
	advice := post.Stop(two)
	taken := 0
	for _, c := range w.Taken {
		if c.FourWire {
			taken++
		}
	}
	if post.Best.RadiusMM <= StillWideMM || taken >= MostFourWire || !advice.Enough &&
		len(w.Taken)-taken < manyTwoWire {
		return two, advice, nil
	}
	costs.FourWire = true
	all, err := post.Next(w.Tables[0], w.Tables[1], costs)
	if err != nil {
		return nil, advice, err
	}
	least := 0.0
	if !advice.Enough && len(two) > 0 {
		least = max(0, post.ReworkSaved(two[0]))
	}
	four := slices.DeleteFunc(all, func(m locate.Move) bool {
		return !m.FourWire || !m.Informative() || post.ReworkSaved(m) < least || w.took(w.ContactsOfMove(m))
	})
	if len(four) == 0 {
		return two, advice, nil
	}
	slices.SortStableFunc(four, func(a, b locate.Move) int {
		return cmp.Compare(post.ReworkSaved(b), post.ReworkSaved(a))
	})
	return append(four, two...),
		locate.Advice{Why: "a four-wire reading saves more looking and rework than it takes, and more than " +
			"two-wire ones do"}, nil
}

// ReadsWithout gives readings to choose from where some places cannot be touched, as
// out tells of the group and the place: four-wire ones alone, or two-wire ones.
func (w *Locator) ReadsWithout(post *locate.Posterior, fourWire bool,
	out func(group int, place copper.ProbePlace) bool) ([]locate.Move, error) {
	costs := w.MoveCosts
	costs.At, costs.FourWire = w.pose(costs.At), fourWire
	var tables [2]locate.Table
	for g := range tables {
		tables[g] = w.Tables[g].Without(func(i int) bool { return out(g, w.Probes[g][i]) })
	}
	moves, err := post.Next(tables[0], tables[1], costs)
	return slices.DeleteFunc(moves, func(m locate.Move) bool { return m.FourWire != fourWire }), err
}

// took tells whether a reading at these contacts was taken.
func (w *Locator) took(at Contacts) bool {
	asked := w.FourContacts(at)
	return slices.ContainsFunc(w.Taken, func(c Contacts) bool { return w.FourContacts(c) == asked })
}

// pose gives where the clips are: where the last reading had them, if it was a
// four-wire one.
func (w *Locator) pose(at locate.Pose) locate.Pose {
	if len(w.Taken) == 0 {
		return at
	}
	last := w.Taken[len(w.Taken)-1]
	if !last.FourWire {
		return at
	}
	find := func(g int, spot copper.Spot) int {
		return slices.IndexFunc(w.Probes[g], func(p copper.ProbePlace) bool {
			return p.Layer == spot.Layer && p.At == spot.At
		})
	}
	at.CurrentA, at.CurrentB = find(0, last.In), find(1, last.Out)
	return at
}

// ContactsOfMove gives the places of an advised reading.
func (w *Locator) ContactsOfMove(m locate.Move) Contacts {
	at := func(g, i int) copper.Spot { return w.Probes[g][i].Spot }
	if !m.FourWire {
		from, to := at(0, m.From), at(1, m.To)
		return Contacts{In: from, Out: to, High: from, Low: to}
	}
	sense := 0
	if m.SenseOnB {
		sense = 1
	}
	return Contacts{
		FourWire: true, In: at(0, m.CurrentA), Out: at(1, m.CurrentB),
		High: at(sense, m.SenseM), Low: at(sense, m.SenseN),
	}
}

func DistanceMM(a, b geom.Point) float64 {
	return math.Hypot(float64(a.X-b.X)*1e-6, float64(a.Y-b.Y)*1e-6)
}

func HypotMM(dx, dy float64) float64 { return math.Hypot(dx, dy) }
