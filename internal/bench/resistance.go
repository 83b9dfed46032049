package bench

import (
	"context"
	"fmt"

	"ohmward/internal/answer"
	"ohmward/internal/copper"
	"ohmward/internal/engine"
)

// Resistance predicts the copper resistance of each pair of places. A pair that
// cannot be answered has its reason in Error; the others are answered.
func Resistance(ctx context.Context, path string, pairs []answer.Pair,
	o engine.Options) (*answer.Resistances, error) {
	p, err := open(ctx, path, o)
	if err != nil {
		return nil, err
	}
	spots, err := warmSpots(p, o)
	if err != nil {
		return nil, answer.AsError(err)
	}
	a := &answer.Resistances{Header: answer.NewHeader(), Results: make([]answer.Resistor, len(pairs)),
		Doubts: Doubts(p)}
	var asked [][2]copper.Spot
	var results []*answer.Resistor
	for i, pair := range pairs {
		from, to, err := p.PathEnds(pair.From, pair.To)
		if err != nil {
			a.Results[i].Error = err.Error()
			continue
		}
		asked, results = append(asked, [2]copper.Spot{from, to}), append(results, &a.Results[i])
		a.Results[i].Net = p.Nets.Nets[from.Net].Name
		a.Results[i].From, a.Results[i].To = PlaceAt(p, from), PlaceAt(p, to)
	}
	paths, err := p.Paths(ctx, asked, o.Accuracy)
	if err != nil {
		return nil, answer.AsError(err)
	}
	for i, r := range results {
		if err := resistor(p, &paths[i], r, o.Parts || len(spots) > 0, spots); err != nil {
			return nil, answer.AsError(err)
		}
	}
	return a, unanswered(a, trusted(p))
}

// resistor writes a path's resistance and, where it is asked for, what it is
// made of.
func resistor(p *engine.Board, path *engine.Path, r *answer.Resistor, parts bool, spots []warmSpot) error {
	if path.Err != nil {
		r.Error = path.Err.Error()
		return nil
	}
	r.Ohms, r.Low, r.High = &path.Ohms, &path.Low, &path.High
	if !parts && len(path.Links) == 0 {
		return nil
	}
	return explainPath(p, path, r, parts, spots)
}

// unanswered gives the error that goes with pairs that have no answer: that of
// a single pair, or how many there are.
func unanswered(a *answer.Resistances, other error) error {
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
		return &answer.Error{Kind: answer.Bad, What: first}
	}
	return &answer.Error{Kind: answer.Doubtful, What: fmt.Sprintf("%d of %d pairs have no answer; the first: %s",
		bad, len(a.Results), first)}
}
