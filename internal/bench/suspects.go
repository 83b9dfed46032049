package bench

import (
	"context"
	"slices"

	"ohmward/internal/suspect"
)

// Suspects lists where nets could touch; no nets means all pairs.
func Suspects(ctx context.Context, path string, nets []string, o Options) (*SuspectsAnswer, error) {
	p, err := open(ctx, path, o)
	if err != nil {
		return nil, err
	}
	a := &SuspectsAnswer{Header: NewHeader(), Nets: []string{}, Doubts: p.doubts(), Cautions: beforeProbes}
	if len(nets) == 0 {
		p.progress("listing the suspects of all nets")
		if a.Sites, err = p.proneSites(ctx); err != nil {
			return nil, bad(err)
		}
		return a, p.trusted()
	}
	s := &session{opened: p}
	if err := s.chooseNets(nets); err != nil {
		return nil, err
	}
	if err := s.suspect(question{rates: suspect.DefaultRates()}); err != nil {
		return nil, err
	}
	a.Nets, a.Cautions = s.names[:], s.cautions()
	a.Sites, a.Elsewhere = p.priorPlaces(s.sites), s.elsewhere
	a.Good = p.atMost(s.names)
	return a, p.trusted()
}

// sortSites puts the likeliest first and numbers them.
func sortSites(sites []Site) {
	slices.SortStableFunc(sites, func(a, b Site) int {
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

// proneSites lists where the whole design is prone to bridging.
func (p *opened) proneSites(ctx context.Context) ([]Site, error) {
	found, err := suspect.Prone(ctx, p.board, p.nets, suspect.DefaultRates(), mostProne)
	if err != nil {
		return nil, err
	}
	out := []Site{}
	for _, f := range found {
		site := p.siteAnswer(f.Site)
		site.Nets = &[2]string{p.nets.Nets[f.Nets[0]].Name, p.nets.Nets[f.Nets[1]].Name}
		out = append(out, site)
	}
	sortSites(out)
	return out, nil
}

// beforeProbes are the cautions that hold before the first reading.
var beforeProbes = []string{
	"Take the battery out, unplug every cable, and let capacitors drain through a resistor; measure volts on both nets before ohms. Above 60 V d.c. leave it to someone trained for it.",
	"Wear an earthed wrist strap. The meter's ohms source can put volts into parts once the short is open: know its open-circuit voltage.",
	"Null the leads on a shorting bar, and again every 5 minutes or 10 readings.",
}
