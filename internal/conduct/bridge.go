package conduct

import (
	"context"
	"errors"
	"slices"
	"sync"

	"ohmward/internal/parallel"
	"ohmward/internal/sparse"
)

// probePieces and sitePieces are how finely the rims of a probe's and a
// bridge's contact are cut: enough for 0.005 mohm on tracks narrower than the
// disc where the mesh follows it. Sites are taken as the mesh has them, up to a
// quarter of a square low (docs/validation.md).
const (
	probePieces = 8
	sitePieces  = 4
)

// Bridge is two groups of copper and the places where they may touch.
type Bridge struct {
	Models [2]*Model    // of either group
	Sites  [2]*Contacts // the bridge's contact on each group, in one order

	once   [2]sync.Once
	across [2][]float64 // potential across each tie for unit current into each site
	loops  loopRows
}

// NewBridge prepares the sites of both groups: discs[g][s] is site s's contact
// on group g.
func NewBridge(ctx context.Context, models [2]*Model, discs [2][]Disc) (*Bridge, error) {
	b := &Bridge{Models: models}
	for g, m := range models {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		var err error
		if b.Sites[g], err = m.prepareUnrefined(discs[g], sitePieces); err != nil {
			return nil, err
		}
	}
	return b, nil
}

// Probe is a contact on one of the two groups.
type Probe struct {
	Group int // 0 or 1
	Disc
}

// Reading is four contacts: current in at In and out at Out, volts between
// High and Low. Two-wire: High is In and Low is Out.
type Reading struct{ In, Out, High, Low Probe }

// farOhms stands for the reading at a site that the contacts cannot reach
// through copper.
const farOhms = 1e6

// Prediction is a reading for a bridge of no resistance at each site, in ohms,
// by what it is made of. Its rows have one value for each site, or one value
// that holds everywhere for a reading that no bridge can change.
type Prediction struct {
	Copper [2][]float64 // sheets and barrels of each group
	Ties   [][]float64  // each low-ohm part, the first group's before the second's
	Bridge float64      // how the bridge's own resistance enters: 1, 0 or -1
}

// Predict gives the reading's parts to first order in each tie's resistance;
// their sum is exact.
func (b *Bridge) Predict(r Reading) (*Prediction, error) {
	p := &Prediction{Bridge: r.bridge()}
	for g := range b.Models {
		copper, ties, err := b.Half(g, r)
		if err != nil {
			return nil, err
		}
		if copper == nil {
			copper, ties = b.zeros(g, r)
		}
		p.Copper[g] = copper
		p.Ties = append(p.Ties, ties...)
	}
	return p, nil
}

// bridge is how the bridge's own resistance enters a reading.
func (r Reading) bridge() float64 {
	switch {
	case r.In.Group == r.Out.Group || r.High.Group == r.Low.Group:
		return 0
	case r.High.Group != r.In.Group:
		return -1
	}
	return 1
}

// fixed tells whether no bridge can change a reading.
func (r Reading) fixed() bool { return r.In.Group == r.Out.Group && r.High.Group == r.Low.Group }

// zeros is the copper and the ties of a group, for every site.
func (b *Bridge) zeros(g int, r Reading) (copper []float64, ties [][]float64) {
	sites := len(b.Sites[g].Discs)
	if r.fixed() {
		sites = 1
	}
	ties = make([][]float64, len(b.Models[g].Group.Ties))
	for t := range ties {
		ties[t] = make([]float64, sites)
	}
	return make([]float64, sites), ties
}

// part is what one group contributes: currents and volts at its contacts,
// the site being the last.
type part struct {
	probes         *Contacts
	sites          *Contacts
	current, volts []float64 // weights, the site's last
	tieProbe       []float64 // [tie][contact] potential across the tie
	tieSite        []float64 // [tie][site]
}

// part gathers the contacts of a reading on a group; nil where it has no
// current there or no volts.
func (b *Bridge) part(r Reading, g int, prepare func(*Model, []Disc, int) (*Contacts, error)) (*part, error) {
	p := &part{sites: b.Sites[g]}
	var discs []Disc
	put := func(d Disc, current, volts float64) {
		i := slices.Index(discs, d)
		if i < 0 {
			i = len(discs)
			discs = append(discs, d)
			p.current = append(p.current, 0)
			p.volts = append(p.volts, 0)
		}
		p.current[i] += current
		p.volts[i] += volts
	}
	var siteCurrent, siteVolts float64
	for _, c := range []struct {
		probe          Probe
		current, volts float64
	}{{r.In, 1, 0}, {r.Out, -1, 0}, {r.High, 0, 1}, {r.Low, 0, -1}} {
		if c.probe.Group != g {
			continue
		}
		put(c.probe.Disc, c.current, c.volts)
		if r.In.Group != r.Out.Group {
			siteCurrent -= c.current
		}
		if r.High.Group != r.Low.Group {
			siteVolts -= c.volts
		}
	}
	p.current, p.volts = append(p.current, siteCurrent), append(p.volts, siteVolts)
	if !anyOf(p.current) || !anyOf(p.volts) {
		return nil, nil
	}
	var err error
	if p.probes, err = prepare(b.Models[g], discs, probePieces); err != nil {
		return nil, err
	}
	ties := b.Models[g].tiePaths()
	at := p.probes.balanced()
	if at.err != nil {
		return nil, at.err
	}
	p.tieProbe = sparse.Gram(ties, at.paths)
	p.tieSite = b.tieSite(g, ties)
	return p, nil
}

func anyOf(v []float64) bool {
	return slices.ContainsFunc(v, func(x float64) bool { return x != 0 })
}

// fixed is one group's own transfer resistance.
func (p *part) fixed(copper []float64, ties [][]float64) error {
	z, err := p.probes.Impedance(p.probes.all())
	if err != nil {
		return err
	}
	n := len(z)
	total := quadratic(z, p.volts[:n], p.current[:n])
	copper[0] = total - p.tieShare(ties, -1)
	return nil
}

// add gives the group's share of the reading at every site.
func (p *part) add(copper []float64, ties [][]float64) error {
	view := p.probes.View(p.sites)
	contacts := p.probes.all()
	return parallel.Try(context.Background(), (len(copper)+siteChunk-1)/siteChunk, func(chunk int) error {
		for s := chunk * siteChunk; s < min(len(copper), (chunk+1)*siteChunk); s++ {
			z, err := view.Impedance(contacts, s)
			if errors.Is(err, ErrApart) {
				copper[s] = farOhms
				continue
			}
			if err != nil {
				return err
			}
			copper[s] = quadratic(z, p.volts, p.current) - p.tieShare(ties, s)
		}
		return nil
	})
}

// siteChunk is how many sites one core takes at a time.
const siteChunk = 64

func quadratic(z [][]float64, v, c []float64) float64 {
	var sum float64
	for i, row := range z {
		for j, x := range row {
			sum += v[i] * c[j] * x
		}
	}
	return sum
}

// tieShare sets each tie's part of the reading at a site (-1: no site) and
// gives their sum. A tie of resistance R carries i = (V_A - V_B)/R; by
// reciprocity it adds R i(current) i(volts).
func (p *part) tieShare(ties [][]float64, site int) float64 {
	n := len(p.probes.Discs)
	var sum float64
	for t := range ties {
		var current, volts float64
		for i := range n {
			across := p.tieProbe[t*n+i]
			current += p.current[i] * across
			volts += p.volts[i] * across
		}
		at := max(site, 0)
		if site >= 0 {
			across := p.tieSite[t*len(p.sites.Discs)+site]
			current += p.current[n] * across
			volts += p.volts[n] * across
		}
		share := current * volts / p.probes.model.Group.Ties[t].Ohms
		ties[t][at] = share
		sum += share
	}
	return sum
}

// tieSite is the potential across each tie for unit current into each site.
func (b *Bridge) tieSite(g int, ties []sparse.Path) []float64 {
	b.once[g].Do(func() { b.across[g] = sparse.Gram(ties, b.Sites[g].balanced().paths) })
	return b.across[g]
}

// tiePaths are the forward solutions of the ties: unit current from one end to
// the other.
func (m *Model) tiePaths() []sparse.Path {
	m.tieOnce.Do(func() {
		var vectors []sparse.Vector
		for _, tie := range m.Group.Ties {
			across, err := m.across(m.nodal, tie)
			if err != nil {
				panic("conduct: a tie that was built has lost its copper")
			}
			vectors = append(vectors, across)
		}
		m.ties = m.nodal.factor.ForwardMany(vectors)
	})
	return m.ties
}
