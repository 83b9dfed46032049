package conduct

import (
	"context"

	"ohmward/internal/parallel"
)

// Vary gives the same copper on the same mesh with the thickness of some
// layers times factor. Plating and low-ohm parts stay as they are.
func (m *Model) Vary(layers []int, factor float64) (*Model, error) {
	out := &Model{Group: m.Group, meshes: m.meshes, rimEdges: m.rimEdges, discs: m.discs, rims: m.rims, gone: m.gone, patches: m.patches, kept: m.kept, memory: m.memory}
	out.Group.Sheets = append([]Sheet(nil), m.Group.Sheets...)
	for i, s := range out.Group.Sheets {
		for _, l := range layers {
			if s.Layer == l {
				out.Group.Sheets[i].Conductance *= factor
			}
		}
	}
	out.nodal = &space{dof: m.nodal.dof, rim: m.nodal.rim, x: m.nodal.x, y: m.nodal.y, pattern: m.nodal.factor.Symbolic()}
	return out, out.nodal.factorise(out)
}

// on gives the same contacts on a model of the same mesh.
func (c *Contacts) on(m *Model) *Contacts {
	out := &Contacts{model: m, Discs: c.Discs, touched: c.touched, plain: c.plain}
	f := &felt{space: m.nodal, arcs: c.spaces[0].arcs}
	f.solve()
	out.spaces = []*felt{f}
	return out
}

// thinner is the factor by which Layers makes copper thinner to feel its
// share of a reading.
const thinner = 0.95

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
			models[g], err = b.Models[g].Vary(set, thinner)
			return err
		})
		if err != nil {
			return nil, err
		}
		out.varied[i] = &Bridge{Models: models, Sites: [2]*Contacts{b.Sites[0].on(models[0]), b.Sites[1].on(models[1])}}
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
	rest := p.sum()
	rows = [][]float64{rest}
	whole := append([]float64(nil), rest...)
	for _, b := range l.varied {
		v, err := b.Predict(r)
		if err != nil {
			return nil, nil, err
		}
		row := v.sum()
		for s := range row {
			row[s] = (row[s] - whole[s]) / (1/thinner - 1)
			if whole[s] >= farOhms {
				row[s] = 0
			}
			rest[s] -= row[s]
		}
		rows = append(rows, row)
	}
	return rows, p, nil
}

// sum is the copper of both groups.
func (p *Prediction) sum() []float64 {
	out := append([]float64(nil), p.Copper[0]...)
	for s, v := range p.Copper[1] {
		out[s] += v
	}
	return out
}

// Sharp gives the same for some of the sites alone, in their order, each with
// its contacts mended (see sharp.go).
func (l *Layers) Sharp(sites []int) *Layers {
	out := &Layers{base: l.base.sharp(sites)}
	for _, b := range l.varied {
		out.varied = append(out.varied, b.sharp(sites))
	}
	return out
}
