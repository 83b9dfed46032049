package bench

import (
	"context"
	"fmt"
	"slices"

	"ohmward/internal/conduct"
	"ohmward/internal/copper"
)

// Resistance predicts the copper resistance of each pair of places.
func Resistance(ctx context.Context, path string, pairs []Pair, o Options) (*ResistanceAnswers, error) {
	p, err := open(ctx, path, o)
	if err != nil {
		return nil, err
	}
	spots, err := p.warmSpots(o)
	if err != nil {
		return nil, bad(err)
	}
	a := &ResistanceAnswers{Header: NewHeader(), Results: make([]Resistor, len(pairs)), Doubts: p.doubts()}
	jobs := map[netKey]*netPairs{}
	var order []*netPairs
	for i, pair := range pairs {
		from, to, err := p.resolvePair(pair)
		if err != nil {
			a.Results[i].Error = err.Error()
			continue
		}
		key := netKey{from.Net, from.Net != to.Net}
		j := jobs[key]
		if j == nil {
			j = &netPairs{nets: []int{from.Net}, parts: o.Parts || len(spots) > 0, spots: spots}
			if key.joined {
				j.nets = p.joinedTo(from.Net)
				j.links = p.linksAmong(j.nets)
			}
			jobs[key] = j
			order = append(order, j)
		}
		j.add(i, p.disc(from), p.disc(to))
		a.Results[i].Net = p.nets.Nets[from.Net].Name
		a.Results[i].From, a.Results[i].To = p.place(from), p.place(to)
	}
	for _, j := range order {
		if err := p.solvePairs(ctx, j, a.Results, o.Accuracy); err != nil {
			return nil, err
		}
	}
	return a, a.unanswered(p.trusted())
}

// netKey tells a net alone from the net with all that low-ohm parts join to it.
type netKey struct {
	net    int
	joined bool
}

// unanswered gives the error of a list in which a pair has no answer.
func (a *ResistanceAnswers) unanswered(other error) error {
	bad, first := 0, ""
	for _, r := range a.Results {
		if r.Error != "" {
			if bad == 0 {
				first = r.Error
			}
			bad++
		}
	}
	switch {
	case bad == 0:
		return other
	case len(a.Results) == 1:
		return &Error{Kind: Bad, What: first}
	}
	return &Error{Kind: Doubtful, What: fmt.Sprintf("%d of %d pairs have no answer; the first: %s", bad, len(a.Results), first)}
}

// netPairs are the pairs asked for on one net, or on nets that low-ohm parts
// join.
type netPairs struct {
	nets   []int
	links  []tieLink
	discs  []conduct.Disc
	number map[conduct.Disc]int
	pairs  [][3]int // result, from, to
	parts  bool     // say what each is made of
	spots  []warmSpot
}

func (j *netPairs) add(result int, from, to conduct.Disc) {
	j.pairs = append(j.pairs, [3]int{result, j.disc(from), j.disc(to)})
}

func (j *netPairs) disc(d conduct.Disc) int {
	if j.number == nil {
		j.number = map[conduct.Disc]int{}
	}
	n, ok := j.number[d]
	if !ok {
		n = len(j.discs)
		j.number[d] = n
		j.discs = append(j.discs, d)
	}
	return n
}

// joinedTo gives the nets that conduct as one with a net, itself first.
func (p *opened) joinedTo(net int) []int { return groupOf(p.nets.Groups(p.ties), net) }

func (p *opened) resolvePair(pair Pair) (from, to copper.Spot, err error) {
	if from, err = p.resolve(pair.From); err != nil {
		return from, to, err
	}
	if to, err = p.resolve(pair.To); err != nil {
		return from, to, err
	}
	if from.Net == to.Net || slices.Contains(p.joinedTo(from.Net), to.Net) {
		return from, to, nil
	}
	if a, b := p.nets.Nets[from.Net].Data, p.nets.Nets[to.Net].Data; p.etched && a == b && a != "" {
		return from, to, fmt.Errorf("no copper joins %s and %s: net %s falls apart where --etch takes its narrow copper away", pair.From, pair.To, a)
	}
	return from, to, fmt.Errorf("%s is on net %s and %s on net %s: choose two places on one net",
		pair.From, p.nets.Nets[from.Net].Name, pair.To, p.nets.Nets[to.Net].Name)
}

// solvePairs solves one net both ways and fills in its pairs.
func (p *opened) solvePairs(ctx context.Context, j *netPairs, results []Resistor, accuracy float64) error {
	var links []conduct.Link
	for _, l := range j.links {
		links = append(links, l.Link)
	}
	group := conduct.FromNets(p.nets, j.nets, links, p.material)
	var pairs [][2]int
	for _, pair := range j.pairs {
		pairs = append(pairs, [2]int{pair[1], pair[2]})
	}
	contacts, err := conduct.Solve(ctx, group, conduct.Options{Discs: j.discs, Progress: p.progress, Kept: p.kept, Memory: p.memory}, pairs, accuracy)
	if err != nil {
		return bad(err)
	}
	for _, pair := range j.pairs {
		r := &results[pair[0]]
		b, err := contacts.Resistance(pair[1], pair[2])
		if err != nil {
			r.Error = err.Error()
			continue
		}
		r.Ohms, r.Low, r.High = &b.Ohms, &b.Low, &b.High
		if err := p.explainPair(contacts, [2]int{pair[1], pair[2]}, j, r); err != nil {
			return bad(err)
		}
	}
	return nil
}
