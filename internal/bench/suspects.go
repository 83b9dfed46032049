package bench

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"ohmward/internal/answer"
	"ohmward/internal/engine"
	"ohmward/internal/suspect"
	"ohmward/unit"
)

// AtMost says what a good unit reads at most across two nets, by the resistors
// between them and what low-ohm parts join to them; "" where there is none.
// Parts beside them can only lower it.
func AtMost(p *engine.Board, names [2]string) string {
	group := map[int]int{} // from 1
	for g, nets := range p.Nets.Groups(p.Ties) {
		for _, n := range nets {
			group[n] = g + 1
		}
	}
	var of [2]int
	for i, name := range names {
		if n, err := p.Nets.ByName(name); err == nil {
			of[i] = group[n]
		}
	}
	siemens, parts := 0.0, []string{}
	for _, r := range p.Nets.Resistors() {
		if a, b := group[r.NetA], group[r.NetB]; a == of[0] && b == of[1] || a == of[1] && b == of[0] {
			siemens += 1 / float64(r.Ohms)
			parts = append(parts, r.Part)
		}
	}
	if len(parts) == 0 || of[0] == of[1] {
		return ""
	}
	lie := "lies"
	if len(parts) > 1 {
		lie = "lie"
	}
	const most = 4
	if len(parts) > most {
		parts = append(parts[:most], "…")
	}
	return fmt.Sprintf("a good unit reads at most %v: %s %s across", unit.Resistance(1/siemens),
		strings.Join(parts, ", "), lie)
}

// Suspects lists where nets could touch; no nets means all pairs.
func Suspects(ctx context.Context, path string, nets []string, o engine.Options) (*answer.Suspects, error) {
	p, err := open(ctx, path, o)
	if err != nil {
		return nil, err
	}
	a := &answer.Suspects{Header: answer.NewHeader(), Nets: []string{}, Doubts: Doubts(p),
		Cautions: beforeProbes}
	if len(nets) == 0 {
		p.Progress("listing the suspects of all nets")
		if a.Sites, err = ProneSites(ctx, p); err != nil {
			return nil, answer.AsError(err)
		}
		a.Capped = len(a.Sites) == mostProne
		return a, trusted(p)
	}
	s := &engine.Pair{Board: p}
	if err := s.ChooseNets(nets); err != nil {
		return nil, answer.AsError(err)
	}
	if err := s.Suspect(engine.PairOptions{Rates: suspect.DefaultRates()}); err != nil {
		return nil, answer.AsError(err)
	}
	a.Nets, a.Cautions = s.Names[:], cautions(s)
	a.Sites, a.Elsewhere = priorPlaces(p, s.Sites), s.Elsewhere
	a.Good = AtMost(p, s.Names)
	return a, trusted(p)
}

// sortSites puts the likeliest first and numbers them.
func sortSites(sites []answer.Site) {
	slices.SortStableFunc(sites, func(a, b answer.Site) int {
		switch {
		case a.Probability > b.Probability:
			return -1
		case a.Probability < b.Probability:
			return 1
		}
		return 0
	})
	for i := range sites {
		sites[i].Rank = i + 1
	}
}

// mostProne is how many places of a whole design are listed.
const mostProne = 200

// ProneSites lists where the whole design is prone to bridging.
func ProneSites(ctx context.Context, p *engine.Board) ([]answer.Site, error) {
	found, err := suspect.Prone(ctx, p.Layout, p.Nets, suspect.DefaultRates(), mostProne)
	if err != nil {
		return nil, err
	}
	out := []answer.Site{}
	for _, f := range found {
		site := SiteAnswer(p, f.Site)
		site.Nets = &[2]string{p.Nets.Nets[f.Nets[0]].Name, p.Nets.Nets[f.Nets[1]].Name}
		out = append(out, site)
	}
	sortSites(out)
	return out, nil
}

// beforeProbes are the cautions that hold before the first reading.
var beforeProbes = []string{
	"Take the battery out, unplug every cable, and let capacitors drain through a resistor; measure volts on " +
		"both nets before ohms. Above 60 V d.c. leave it to someone trained for it.",
	"Wear an earthed wrist strap. The meter's ohms source can put volts into parts once the short is open: " +
		"know its open-circuit voltage.",
	"Null the leads on a shorting bar, and again every 5 minutes or 10 readings.",
}
