package conduct

import (
	"context"
	"errors"
	"slices"
)

// probePieces and sitePieces are how finely the rims of a probe's and a
// bridge's contact are cut: enough for 0.005 mohm on tracks narrower than the
// disc.
const (
	probePieces = 8
	sitePieces  = 4
)

// Bridge is two groups of copper and the places where they may touch.
type Bridge struct {
	Models [2]*Model
	Sites  [2]*Contacts // the bridge's contact on each group, in one order
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
		if b.Sites[g], err = m.Prepare(discs[g], sitePieces); err != nil {
			return nil, err
		}
	}
	return b, nil
}

// Probe is a contact on one of the two groups.
type Probe struct {
	Group int
	Disc
}

// Reading is four contacts: current in at In and out at Out, volts between
// High and Low. Two-wire: High is In and Low is Out.
type Reading struct{ In, Out, High, Low Probe }

// farOhms stands for the reading at a site that the contacts cannot reach
// through copper.
const farOhms = 1e6

// Predict gives the reading's part from the copper, in ohms, for a bridge at
// each site, and how the bridge's own resistance enters it (1, 0 or -1). A
// reading that no bridge can change gives one value that holds everywhere.
func (b *Bridge) Predict(r Reading) (copper []float64, bridge float64, err error) {
	crossing := r.In.Group != r.Out.Group
	if !crossing && r.High.Group == r.Low.Group {
		v, err := b.fixed(r)
		return []float64{v}, 0, err
	}
	copper = make([]float64, len(b.Sites[0].Discs))
	if crossing && r.High.Group != r.Low.Group {
		bridge = 1
		if r.High.Group != r.In.Group {
			bridge = -1
		}
	}
	for g := range b.Models {
		p, err := b.part(r, g, crossing)
		if err != nil {
			return nil, 0, err
		}
		if p == nil {
			continue
		}
		if err := p.add(copper); err != nil {
			return nil, 0, err
		}
	}
	return copper, bridge, nil
}

// fixed is a reading whose contacts make no current cross the bridge and no
// volt depend on it: one group's own transfer resistance.
func (b *Bridge) fixed(r Reading) (float64, error) {
	if r.High.Group != r.In.Group {
		return 0, nil
	}
	var discs []Disc
	var at [4]int
	for k, p := range []Probe{r.In, r.Out, r.High, r.Low} {
		if at[k] = slices.Index(discs, p.Disc); at[k] < 0 {
			at[k] = len(discs)
			discs = append(discs, p.Disc)
		}
	}
	c, err := b.Models[r.In.Group].Prepare(discs, probePieces)
	if err != nil {
		return 0, err
	}
	all := make([]int, len(discs))
	for i := range all {
		all[i] = i
	}
	z, err := c.Impedance(all)
	if err != nil {
		return 0, err
	}
	in, out, high, low := at[0], at[1], at[2], at[3]
	return z[high][in] - z[high][out] - z[low][in] + z[low][out], nil
}

// part is what one group contributes: currents and volts at its contacts,
// the site being the last.
type part struct {
	view           *View
	contacts       []int
	current, volts []float64 // weights, the site's last
}

// part gathers the contacts of a reading on a group; nil where it has no
// current there or no volts.
func (b *Bridge) part(r Reading, g int, crossing bool) (*part, error) {
	p := &part{}
	var discs []Disc
	put := func(d Disc, current, volts float64) {
		for i, known := range discs {
			if known == d {
				p.current[i] += current
				p.volts[i] += volts
				return
			}
		}
		discs = append(discs, d)
		p.current = append(p.current, current)
		p.volts = append(p.volts, volts)
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
		if crossing {
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
	contacts, err := b.Models[g].Prepare(discs, probePieces)
	if err != nil {
		return nil, err
	}
	for i := range discs {
		p.contacts = append(p.contacts, i)
	}
	p.view = contacts.View(b.Sites[g])
	return p, nil
}

func anyOf(v []float64) bool {
	for _, x := range v {
		if x != 0 {
			return true
		}
	}
	return false
}

// add adds the group's share of the reading at every site.
func (p *part) add(copper []float64) error {
	return eachOnCores(context.Background(), (len(copper)+siteChunk-1)/siteChunk, func(chunk int) error {
		for s := chunk * siteChunk; s < min(len(copper), (chunk+1)*siteChunk); s++ {
			z, err := p.view.Impedance(p.contacts, s)
			if errors.Is(err, ErrApart) {
				copper[s] += farOhms
				continue
			}
			if err != nil {
				return err
			}
			for i, v := range p.volts {
				for j, c := range p.current {
					copper[s] += v * c * z[i][j]
				}
			}
		}
		return nil
	})
}

// siteChunk is how many sites one core takes at a time.
const siteChunk = 64
