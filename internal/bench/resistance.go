package bench

import (
	"context"
	"fmt"

	"ohmward/internal/conduct"
	"ohmward/internal/copper"
)

// Resistance predicts the copper resistance of each pair of places.
func Resistance(ctx context.Context, path string, pairs []Pair, o Options) (*ResistanceAnswers, error) {
	p, err := open(ctx, path, o)
	if err != nil {
		return nil, err
	}
	a := &ResistanceAnswers{Header: NewHeader(), Results: make([]Resistor, len(pairs)), Doubts: p.doubts()}
	jobs := map[int]*netPairs{}
	var order []int
	for i, pair := range pairs {
		from, to, err := p.resolvePair(pair)
		if err != nil {
			a.Results[i].Error = err.Error()
			continue
		}
		j := jobs[from.Net]
		if j == nil {
			j = &netPairs{}
			jobs[from.Net] = j
			order = append(order, from.Net)
		}
		j.add(i, p.disc(from), p.disc(to))
		a.Results[i].Net = p.nets.Nets[from.Net].Name
		a.Results[i].From, a.Results[i].To = p.place(from), p.place(to)
	}
	for _, net := range order {
		if err := p.solvePairs(ctx, net, jobs[net], a.Results, o.Accuracy); err != nil {
			return nil, err
		}
	}
	return a, a.unanswered(p.trusted())
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

// netPairs are the pairs asked for on one net.
type netPairs struct {
	discs  []conduct.Disc
	number map[conduct.Disc]int
	pairs  [][3]int // result, from, to
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

func (p *opened) resolvePair(pair Pair) (from, to copper.Spot, err error) {
	if from, err = p.resolve(pair.From); err != nil {
		return from, to, err
	}
	if to, err = p.resolve(pair.To); err != nil {
		return from, to, err
	}
	if from.Net != to.Net {
		return from, to, fmt.Errorf("%s is on net %s and %s on net %s: choose two places on one net",
			pair.From, p.nets.Nets[from.Net].Name, pair.To, p.nets.Nets[to.Net].Name)
	}
	return from, to, nil
}

// solvePairs solves one net both ways and fills in its pairs.
func (p *opened) solvePairs(ctx context.Context, net int, j *netPairs, results []Resistor, accuracy float64) error {
	group := conduct.FromNets(p.nets, []int{net}, nil, p.material)
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
	}
	return nil
}
