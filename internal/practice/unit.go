// Package practice is a bench without hardware: a unit with a hidden short
// and a meter that answers SCPI, noise, lead residue and all.
//
// The unit is solved apart from what the program itself solves: a finer mesh
// of another shape, its own thickness of every layer and of the plating, a
// fault off the sample grid, and its own laws of noise. So a search on it
// does not grade its own model. Values are SI.
package practice

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"ohmward/internal/conduct"
	"ohmward/internal/copper"
	"ohmward/internal/suspect"
)

// Bench is what a unit is made from.
type Bench struct {
	Nets     *copper.Nets      // of the board
	Groups   [2][]int          // nets of either group
	Links    [2][]conduct.Link // low-ohm parts that join each group's nets
	Material conduct.Material  // as designed
	Probes   []conduct.Probe   // where tips may go
	Bodies   []suspect.Body    // metal bodies marked
	Kind     string            // kind of fault, or "" for any
	Fault    *suspect.Site     // this fault; nil: drawn
	Ohms     float64           // of this fault; a drawn one has its own
}

// Unit is one board with one short.
type Unit struct {
	Fault  suspect.Site // where its short is
	Ohms   float64      // of the short itself
	bridge *conduct.Bridge
}

// Spread of the copper of one unit around the design: each layer and the
// plating by itself (BENCH.md, What the copper files do not show: outer
// ±20 %, inner ±12 %, plating ±20 %, taken as two standard deviations).
const (
	outerSpread   = 0.10
	innerSpread   = 0.06
	platingSpread = 0.10
)

// layerFactors draws the factors on the thickness of n layers.
func layerFactors(rng *rand.Rand, n int) (out []float64) {
	for l := range n {
		spread := innerSpread
		if l == 0 || l == n-1 {
			spread = outerSpread
		}
		out = append(out, thicknessFactor(rng, spread))
	}
	return out
}

// faultStep is the spacing, in metres, of the places from which a fault is
// drawn: no multiple of the spacing that the program searches at.
const faultStep = 0.131e-3

// NewUnit draws a unit: where its short is, how many ohms it has, and how
// thick its copper came out.
func NewUnit(ctx context.Context, b Bench, rng *rand.Rand) (*Unit, error) {
	u := &Unit{Ohms: b.Ohms}
	var err error
	if b.Fault != nil {
		u.Fault = *b.Fault
	} else if u.Fault, err = b.drawFault(rng); err != nil {
		return nil, err
	} else {
		u.Ohms = drawOhms(rng, u.Fault.Kind)
	}
	mat := b.Material
	mat.Layer = layerFactors(rng, len(b.Nets.Board.Layers))
	mat.Plating = thicknessFactor(rng, platingSpread)
	links := [2][]conduct.Link{drawLinks(rng, b.Links[0]), drawLinks(rng, b.Links[1])}
	var discs [2][]conduct.Disc
	for g, d := range (Fault{Site: u.Fault}).discs() {
		discs[g] = []conduct.Disc{d}
	}
	models, err := b.build(ctx, links, mat, func(g int) conduct.Options { return b.meshing(g, discs[g]) })
	if err != nil {
		return nil, err
	}
	u.bridge, err = conduct.NewBridge(ctx, models, discs)
	return u, err
}

// build solves both groups' copper.
func (b Bench) build(ctx context.Context, links [2][]conduct.Link, mat conduct.Material,
	meshing func(g int) conduct.Options) (models [2]*conduct.Model, err error) {
	for g := range models {
		group := conduct.FromNets(b.Nets, b.Groups[g], links[g], mat)
		if models[g], err = conduct.Build(ctx, group, meshing(g)); err != nil {
			return models, err
		}
	}
	return models, nil
}

// contact is the diameter of the short's contacts, nanometres.
const contact = 300_000

// meshing asks for a finer mesh than the program's own, of another shape.
func (b Bench) meshing(g int, fault []conduct.Disc) conduct.Options {
	o := conduct.Options{MaxEdge: 1_300_000, Grading: 0.4, MinAngle: 27, Simplify: 500, Discs: fault}
	for _, p := range b.Probes {
		if p.Group == g {
			o.Discs = append(o.Discs, p.Disc)
		}
	}
	return o
}

// drawFault draws a place by its prior chance.
func (b Bench) drawFault(rng *rand.Rand) (suspect.Site, error) {
	from := b.sampler(Draw{Bodies: b.Bodies})
	if len(from.sites) == 0 {
		return suspect.Site{}, fmt.Errorf("no place of kind %q between these nets", b.Kind)
	}
	return from.draw(rng), nil
}

// drawOhms draws the resistance of a short: solder and slivers of metal from
// 0.1 to 100 mohm, one in ten dry and up to 5 ohm (BENCH.md, What the copper
// files do not show), a part's inside from 5 mohm to 2 ohm (common practice,
// no source).
func drawOhms(rng *rand.Rand, kind suspect.Kind) float64 {
	low, high := 1e-4, 0.1
	switch {
	case kind == suspect.Part:
		low, high = 5e-3, 2
	case rng.Float64() < dryShare:
		low, high = 0.1, 5
	}
	return low * math.Pow(high/low, rng.Float64())
}

// dryShare is how many bridges are dry: common practice, no source.
const dryShare = 0.1

// tieSpread is the deviation of the logarithm of a low-ohm part's resistance
// (common practice, no source).
const tieSpread = 0.5

// drawLinks gives every low-ohm part a resistance of its own.
func drawLinks(rng *rand.Rand, links []conduct.Link) []conduct.Link {
	out := slices.Clone(links)
	for i := range out {
		out[i].Ohms *= math.Exp(tieSpread * rng.NormFloat64())
	}
	return out
}

// thicknessFactor draws a factor around one.
func thicknessFactor(rng *rand.Rand, spread float64) float64 {
	return max(0.5, min(1.5, 1+spread*rng.NormFloat64()))
}

// Without gives the same unit with some low-ohm parts opened.
func (u *Unit) Without(parts []string) (*Unit, error) {
	b, err := u.bridge.Without(parts)
	return &Unit{Fault: u.Fault, Ohms: u.Ohms, bridge: b}, err
}

// Reads gives what a perfect meter would read. Where opened parts leave no
// copper between its places, or between them and the short, that is
// conduct.ErrApart.
func (u *Unit) Reads(r conduct.Reading) (float64, error) {
	p, err := u.bridge.Predict(r)
	if err != nil {
		return 0, err
	}
	sum := p.Bridge * u.Ohms
	for _, part := range append(p.Ties, p.Copper[:]...) {
		sum += part[0]
	}
	if conduct.Unreached(sum) {
		return 0, conduct.ErrApart
	}
	return sum, nil
}
