package conduct

import (
	"context"
	"slices"

	"ohmward/internal/parallel"
)

// Vary gives the same copper on the same mesh with the thickness of some
// layers times factor. Plating and low-ohm parts stay as they are.
func (m *Model) Vary(layers []int, factor float64) (*Model, error) {
	out := m.sameMesh()
	out.patches, out.nodal.pattern = m.patches, m.nodal.factor.Symbolic()
	out.Group.Sheets = slices.Clone(m.Group.Sheets)
	for i, s := range out.Group.Sheets {
		if slices.Contains(layers, s.Layer) {
			out.Group.Sheets[i].Conductance *= factor
		}
	}
	return out, out.nodal.factorise(out)
}

// on gives the same contacts on a model of the same mesh.
func (c *Contacts) on(m *Model) *Contacts {
	out := &Contacts{model: m, Discs: c.Discs, touched: c.touched, unrefined: c.unrefined}
	f := &contactSpace{space: m.nodal, arcs: c.spaces[0].arcs}
	f.solve()
	out.spaces = []*contactSpace{f}
	return out
}

// thinFactor is the factor by which Layers makes copper thinner to find its
// share of a reading.
const thinFactor = 0.95

// Layers are bridges that differ from one in the thickness of some layers.
type Layers struct {
	base   *Bridge
	varied []*Bridge
}

// Layers prepares to tell the share of sets of layers in every reading.
func (b *Bridge) Layers(ctx context.Context, sets [][]int) (*Layers, error) {
	out := &Layers{base: b, varied: make([]*Bridge, len(sets))}
	for i, set := range sets {
		var models [2]*Model
		err := parallel.Try(ctx, len(models), func(g int) (err error) {
			models[g], err = b.Models[g].Vary(set, thinFactor)
			return err
		})
		if err != nil {
			return nil, err
		}
		out.varied[i] = &Bridge{
			Models: models,
			Sites:  [2]*Contacts{b.Sites[0].on(models[0]), b.Sites[1].on(models[1])},
		}
	}
	return out, nil
}

// Predict gives a reading's parts: first what belongs to no set (other layers
// and barrels), then one row for each set, in ohms for a bridge of no
// resistance at each site; all from both groups together. A set's share is
// what its thickness takes off: R falls as 1/t, to first order.
func (l *Layers) Predict(r Reading) (rows [][]float64, p *Prediction, err error) {
	if p, err = l.base.Predict(r); err != nil {
		return nil, nil, err
	}
	rows, err = l.shares(p.sum(), func(b *Bridge) ([]float64, error) {
		v, err := b.Predict(r)
		if err != nil {
			return nil, err
		}
		return v.sum(), nil
	})
	return rows, p, err
}

// shares splits a reading of the base, site by site, into what belongs to no
// set and each set's share, from the same reading of the varied bridges.
func (l *Layers) shares(whole []float64, varied func(*Bridge) ([]float64, error)) ([][]float64, error) {
	rest := slices.Clone(whole)
	rows := [][]float64{rest}
	for _, b := range l.varied {
		row, err := varied(b)
		if err != nil {
			return nil, err
		}
		for s := range row {
			row[s] = (row[s] - whole[s]) / (1/thinFactor - 1)
			if whole[s] >= farOhms {
				row[s] = 0
			}
			rest[s] -= row[s]
		}
		rows = append(rows, row)
	}
	return rows, nil
}

// sum is the copper of both groups.
func (p *Prediction) sum() []float64 {
	out := slices.Clone(p.Copper[0])
	for s, v := range p.Copper[1] {
		out[s] += v
	}
	return out
}
