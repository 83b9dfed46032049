package bench

import (
	"cmp"
	"context"
	"slices"

	"ohmward/internal/board"
	"ohmward/internal/conduct"
	"ohmward/internal/copper"
	"ohmward/internal/locate"
)

// mostProbes bounds the places of one net that a plan considers.
const mostProbes = 160

// injectedAmps and differencedVolts are the four-wire reading with injected
// current that is reckoned with: 0.5 A, and 2 µV where current on and off are
// differenced.
const (
	injectedAmps     = 0.5
	differencedVolts = 2e-6
)

// tabulate prepares what planning needs in the network as it now is: what the
// reachable places and the sites see of each other.
func (s *session) tabulate(ctx context.Context) error {
	s.progress("preparing the places to touch")
	b, _, err := s.solver.solved()
	if err != nil {
		return bad(err)
	}
	tables, err := tablesOf(ctx, b, s.placesToTouch())
	if err != nil {
		return err
	}
	return s.planOn(tables)
}

// tablesOf solves for the places to touch of both groups.
func tablesOf(ctx context.Context, b *conduct.Bridge, discs [2][]conduct.Disc) (tables [2]conduct.Table, err error) {
	for g := range tables {
		if err := ctx.Err(); err != nil {
			return tables, err
		}
		t, err := b.Table(g, discs[g])
		if err != nil {
			return tables, bad(err)
		}
		tables[g] = *t
	}
	return tables, nil
}

// placesToTouch thins the places out to what a plan considers, and gives their
// contacts.
func (s *session) placesToTouch() (discs [2][]conduct.Disc) {
	for g := range discs {
		s.probes[g] = spread(s.probes[g], mostProbes)
		for _, p := range s.probes[g] {
			discs[g] = append(discs[g], s.disc(p.Spot))
		}
	}
	return discs
}

// planOn takes what the places see as what is planned on.
func (s *session) planOn(tables [2]conduct.Table) (err error) {
	for g, t := range tables {
		of := locate.Table{R: t.R, G: t.G, GP: t.Own}
		for _, p := range s.probes[g] {
			of.Probes = append(of.Probes, s.probeAnswer(p))
		}
		if s.tables[g], err = of.Ready(s.names[g], len(s.sites)); err != nil {
			return bad(err)
		}
	}
	return nil
}

func (s *session) probeAnswer(p copper.ProbePlace) locate.Probe {
	x, y := p.At.MM()
	out := locate.Probe{
		ID: s.placeText(p.Spot), X: x, Y: y, SizeMM: float64(p.Width) * 1e-6,
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

// placeText writes a spot so that a case file takes it: by its pin where that
// names one pad, else by its point.
func (s *opened) placeText(spot copper.Spot) string {
	if spot.Pin != "" {
		if at, err := s.resolve(spot.Pin); err == nil && at.Layer == spot.Layer && at.At == spot.At {
			return spot.Pin
		}
	}
	return copper.Place{Layer: spot.Layer, At: spot.At}.String()
}

// spread keeps at most n places, each the farthest from all kept before it,
// beginning with the widest.
func spread(places []copper.ProbePlace, n int) []copper.ProbePlace {
	if len(places) <= n {
		return places
	}
	far := make([]float64, len(places))
	for i := range far {
		far[i] = distanceMM(places[i].At, places[0].At)
	}
	kept := []copper.ProbePlace{places[0]}
	for len(kept) < n {
		next := 0
		for i, d := range far {
			if d > far[next] {
				next = i
			}
		}
		kept = append(kept, places[next])
		for i := range far {
			far[i] = min(far[i], distanceMM(places[i].At, places[next].At))
		}
	}
	return kept
}

// plan lists the readings worth taking, best first, and says whether another
// is worth its time.
func (w *work) plan(post *locate.Posterior, a *LocateAnswer) error {
	moves, advice, err := w.reads(post)
	if err != nil {
		return err
	}
	a.Next = []Next{}
	for _, m := range moves {
		a.Next = append(a.Next, w.nextAnswer(m))
	}
	a.Enough, a.EnoughWhy = advice.Enough, advice.Why
	return nil
}

// When four-wire readings are offered: while the place is open by more than one
// look takes in, after so many two-wire ones where those still tell something,
// and so many of them at most: what is left of their errors is the copper's and
// the same in all. Common practice, no source.
const (
	stillWideMM  = 3.0
	manyTwoWire  = 4
	mostFourWire = 4
)

// reads gives the readings to choose from. Four-wire ones, with two clips for
// the current and two tips for the volts, are offered where two-wire ones are no
// longer worth their time, or go on without coming near, and one of them is worth
// more: on copper too wide for its resistance to show beside that of the tips.
func (w *work) reads(post *locate.Posterior) ([]locate.Move, locate.Advice, error) {
	hands := w.hands
	hands.At = w.pose(hands.At)
	two, err := post.Next(w.tables[0], w.tables[1], hands)
	if err != nil {
		return nil, locate.Advice{}, err
	}
	advice := post.Stop(two)
	taken := 0
	for _, c := range w.taken {
		if c.fourWire {
			taken++
		}
	}
	if post.Best.RadiusMM <= stillWideMM || taken >= mostFourWire || !advice.Enough && len(w.taken)-taken < manyTwoWire {
		return two, advice, nil
	}
	hands.FourWire = true
	all, err := post.Next(w.tables[0], w.tables[1], hands)
	if err != nil {
		return nil, advice, err
	}
	least := 0.0
	if !advice.Enough && len(two) > 0 {
		least = max(0, post.GainInRework(two[0]))
	}
	four := slices.DeleteFunc(all, func(m locate.Move) bool {
		return !m.FourWire || !m.TellsEnough() || post.GainInRework(m) < least || w.took(w.contactsOfMove(m))
	})
	if len(four) == 0 {
		return two, advice, nil
	}
	slices.SortStableFunc(four, func(a, b locate.Move) int { return cmp.Compare(post.GainInRework(b), post.GainInRework(a)) })
	return append(four, two...), locate.Advice{Why: "a four-wire reading saves more looking and rework than it takes, and more than two-wire ones do"}, nil
}

// took tells whether a reading at these contacts was taken.
func (w *work) took(at contacts) bool {
	asked := w.fourContacts(at)
	return slices.ContainsFunc(w.taken, func(c contacts) bool { return w.fourContacts(c) == asked })
}

// pose gives where the clips are: where the last reading had them, if it was a
// four-wire one.
func (w *work) pose(at locate.Pose) locate.Pose {
	if len(w.taken) == 0 {
		return at
	}
	last := w.taken[len(w.taken)-1]
	if !last.fourWire {
		return at
	}
	find := func(g int, spot copper.Spot) int {
		return slices.IndexFunc(w.probes[g], func(p copper.ProbePlace) bool { return p.Layer == spot.Layer && p.At == spot.At })
	}
	at.CurrentA, at.CurrentB = find(0, last.in), find(1, last.out)
	return at
}

func (w *work) nextAnswer(m locate.Move) Next {
	n := Next{Kind: "two-wire", Bits: m.Bits, Seconds: m.Seconds, Why: m.Why}
	c := w.contactsOfMove(m)
	for _, spot := range c.spots() {
		n.At = append(n.At, *w.place(spot))
	}
	if !m.FourWire {
		n.From, n.To = w.placeText(c.in), w.placeText(c.out)
		return n
	}
	n.Kind = "four-wire"
	n.Current = []string{w.placeText(c.in), w.placeText(c.out)}
	n.Sense = []string{w.placeText(c.high), w.placeText(c.low)}
	return n
}

// contactsOfMove gives the places of an advised reading.
func (w *work) contactsOfMove(m locate.Move) contacts {
	at := func(g, i int) copper.Spot { return w.probes[g][i].Spot }
	if !m.FourWire {
		from, to := at(0, m.From), at(1, m.To)
		return contacts{in: from, out: to, high: from, low: to}
	}
	sense := 0
	if m.SenseOnB {
		sense = 1
	}
	return contacts{
		fourWire: true, in: at(0, m.CurrentA), out: at(1, m.CurrentB),
		high: at(sense, m.SenseM), low: at(sense, m.SenseN),
	}
}
