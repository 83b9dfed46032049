package practice

import (
	"context"
	"fmt"
	"math/rand/v2"
	"sort"

	"ohmward/geom"
	"ohmward/internal/conduct"
	"ohmward/internal/mesh"
	"ohmward/internal/suspect"
)

// Fault is a short: where it is and the ohms of the bridge itself.
type Fault struct {
	Site suspect.Site // where it is
	Ohms float64      // of the bridge itself
}

// Draw says from which places faults are drawn, beside those of a Bench.
type Draw struct {
	Bodies []suspect.Body          // metal bodies that bridge
	Reach  float64                 // widest gap in metres; 0: as package suspect has it
	Keep   func(suspect.Site) bool // nil: all
	// Other is where a share of the faults comes from instead; nil: none.
	Other *Draw
	Share float64 // 0 to 1
}

// Batch is many units of one board, each with one short and copper of its
// own, solved at once: one fine mesh serves all. A reading is composed to
// first order from what each layer, the plating and each low-ohm part adds to
// it at the design's thickness; a part's share goes as one over its factor.
// That is exact for copper in series, and off by the square of the factors'
// difference where layers lie in parallel: about 0.3 % for 8 % on each layer.
//
// A Batch may be used by several goroutines.
type Batch struct {
	Faults []Fault // one for each unit
	bench  Bench
	bridge *conduct.Bridge
	halves *Halves
}

// NewBatch draws n faults by their prior chance and solves the board for all
// of them.
func NewBatch(ctx context.Context, b Bench, d Draw, n int, rng *rand.Rand) (*Batch, error) {
	c := &Batch{bench: b}
	drawn, err := b.drawFaults(d, n+n/8+8, rng)
	if err != nil {
		return nil, err
	}
	meshing := func(g int) conduct.Options { return b.batchMeshing(g, drawn) }
	models, err := b.build(ctx, b.Links, b.Material, meshing)
	if err != nil {
		return nil, err
	}
	var discs [2][]conduct.Disc
	for _, f := range drawn {
		on := f.discs()
		if len(c.Faults) == n || !models[0].Reaches(on[0]) || !models[1].Reaches(on[1]) {
			continue
		}
		c.Faults = append(c.Faults, f)
		for g := range discs {
			discs[g] = append(discs[g], on[g])
		}
	}
	if len(c.Faults) < n {
		return nil, fmt.Errorf("only %d of %d drawn faults lie on copper", len(c.Faults), n)
	}
	if c.bridge, err = conduct.NewBridge(ctx, models, discs); err != nil {
		return nil, err
	}
	var sets [][]int
	for l := range b.Nets.Board.Layers {
		sets = append(sets, []int{l})
	}
	layers, err := c.bridge.Layers(ctx, sets)
	c.halves = NewHalves(layers)
	return c, err
}

func (f Fault) discs() [2]conduct.Disc {
	return [2]conduct.Disc{
		{Layer: f.Site.LayerA, At: f.Site.A, Diameter: contact},
		{Layer: f.Site.LayerB, At: f.Site.B, Diameter: contact},
	}
}

// faultEdge is the edge length, in nanometres, round a fault: half of what the
// program itself uses.
const faultEdge = 75_000

// batchMeshing is the meshing of one unit, with all faults refined.
func (b Bench) batchMeshing(g int, faults []Fault) conduct.Options {
	o := b.meshing(g, nil)
	for _, f := range faults {
		d := f.discs()[g]
		size := mesh.Size{At: d.At, Radius: d.Diameter / 2, Edge: faultEdge}
		o.Sizes = append(o.Sizes, conduct.SheetSize{Layer: d.Layer, Size: size})
	}
	return o
}

// siteSampler holds places to draw from, each as often as its prior says.
type siteSampler struct {
	sites []suspect.Site
	upTo  []float64 // sums of the priors
}

func (u siteSampler) draw(rng *rand.Rand) suspect.Site {
	last := len(u.sites) - 1
	return u.sites[min(sort.SearchFloat64s(u.upTo, rng.Float64()*u.upTo[last]), last)]
}

// drawFaults draws places off the program's own grid.
func (b Bench) drawFaults(d Draw, n int, rng *rand.Rand) ([]Fault, error) {
	from, other := b.sampler(d), siteSampler{}
	if len(from.sites) == 0 {
		return nil, fmt.Errorf("no place for such a fault between these nets")
	}
	if d.Other != nil {
		other = b.sampler(*d.Other)
	}
	out := make([]Fault, n)
	for i := range out {
		u := from
		if len(other.sites) > 0 && rng.Float64() < d.Share {
			u = other
		}
		site := u.draw(rng)
		out[i] = Fault{site, drawOhms(rng, site.Kind)}
	}
	return out, nil
}

// sampler lists the places of a draw.
func (b Bench) sampler(d Draw) (u siteSampler) {
	all, _ := suspect.List(suspect.Question{
		Board: b.Nets.Board, Nets: b.Nets, Groups: b.Groups, Bodies: d.Bodies,
		Rates: suspect.DefaultRates(), Reach: d.Reach, Step: faultStep, Most: 20000,
	})
	total := 0.0
	for _, s := range all {
		if d.Keep != nil && !d.Keep(s) || b.Kind != "" && s.Kind.String() != b.Kind {
			continue
		}
		total += s.Prior
		u.sites, u.upTo = append(u.sites, s), append(u.upTo, total)
	}
	return u
}

// Copper is how one unit's copper came out, as factors on the design's.
type Copper struct {
	Layer   []float64    // of each layer's thickness
	Plating float64      // of the plating's thickness
	Ties    [2][]float64 // of each low-ohm part's resistance, by group
}

// DrawCopper draws each layer, the plating and each low-ohm part by itself.
func (c *Batch) DrawCopper(rng *rand.Rand) Copper {
	var cu Copper
	cu.Layer = layerFactors(rng, len(c.bench.Nets.Board.Layers))
	cu.Plating = thicknessFactor(rng, platingSpread)
	for g, links := range c.bench.Links {
		for i, l := range drawLinks(rng, links) {
			cu.Ties[g] = append(cu.Ties[g], l.Ohms/links[i].Ohms)
		}
	}
	return cu
}

// TwoWire is what a two-wire reading of unit i has on one group, from a tip to
// the short's contact, in ohms.
func (c *Batch) TwoWire(i int, cu Copper, tip conduct.Probe) (float64, error) {
	return c.compose(i, cu, tip.Group, c.halves.TwoWire(tip))
}

// FourWire is a four-wire reading of unit i in ohms: current in on a group and
// out on the other, volts between two places of the first. It may be
// negative, and the sign is that of current entering.
func (c *Batch) FourWire(i int, cu Copper, in, high, low conduct.Probe) (float64, error) {
	return c.compose(i, cu, in.Group, c.halves.FourWire(in, high, low))
}

func (c *Batch) compose(i int, cu Copper, group int, h *Half) (float64, error) {
	if h.Err != nil {
		return 0, h.Err
	}
	sum := h.Rows[0][i] / cu.Plating
	for l, row := range h.Rows[1:] {
		sum += row[i] / cu.Layer[l]
	}
	for t, row := range h.Ties {
		sum += row[i] * cu.Ties[group][t]
	}
	return sum, nil
}

// Landing gives where a tip meant for a place lands: one of four spots around
// it, so that its deviation along each axis is sigma (metres), or nearer by
// where that would be off the copper.
func (c *Batch) Landing(tip conduct.Probe, sigma float64, rng *rand.Rand) conduct.Probe {
	side := [4][2]float64{{1, 1}, {-1, 1}, {-1, -1}, {1, -1}}[rng.IntN(4)]
	for d := sigma * 1e9; d > 2e4; d /= 2 {
		off := tip
		off.At = geom.Point{X: tip.At.X + int64(d*side[0]), Y: tip.At.Y + int64(d*side[1])}
		if c.bridge.Models[tip.Group].Reaches(off.Disc) {
			return off
		}
	}
	return tip
}
