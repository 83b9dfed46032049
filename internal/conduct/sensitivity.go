package conduct

import (
	"fmt"
	"maps"
	"slices"

	"ohmward/internal/sparse"
)

// Sensitivity is a reading in parts, in ohms: what every layer, all plated
// holes and every low-ohm part contribute. The parts add up to Ohms, and each
// is the exact first-order change of the reading for a relative change of its
// own resistance:
//
//	d Ohms / d ln(thickness of layer l)  = -Layers[l]
//	d Ohms / d ln(plating thickness)     = -Plating
//	d Ohms / d ln(resistance of tie k)   =  Ties[g][k]
//	d Ohms / d ln(copper's resistivity)  =  sum of Layers + Holes
//
// A warming by dT changes the copper's resistivity by 0.00393 dT (at 20 C); a
// spot's share of that is given by Bridge.Within. By reciprocity a part is the
// integral of sigma grad(c).grad(v) over it, with c the potential of the
// reading's current and v that of unit current sent in at its volt contacts.
type Sensitivity struct {
	Ohms    float64         // the reading without the bridge's own resistance
	Bridge  float64         // how the bridge's own resistance enters: 1, 0 or -1
	Layers  map[int]float64 // by layer, 0-based
	Holes   float64         // all plated holes
	Plating float64         // Holes, each weighted by how much its conductance follows the plating
	Ties    [2][]float64    // by group and tie
}

// Sensitivity gives a reading's parts with the bridge at a site; the site
// plays no part in a reading that no bridge can change. ErrApart says that
// copper does not join the contacts.
func (b *Bridge) Sensitivity(r Reading, site int) (*Sensitivity, error) {
	if n := len(b.Sites[0].Discs); site < 0 || site >= n {
		return nil, fmt.Errorf("conduct: there is no site %d: the bridge has %d", site, n)
	}
	out := &Sensitivity{Layers: map[int]float64{}}
	crossing, split := r.In.Group != r.Out.Group, r.High.Group != r.Low.Group
	if crossing && split {
		out.Bridge = 1
		if r.High.Group != r.In.Group {
			out.Bridge = -1
		}
	}
	for g, m := range b.Models {
		out.Ties[g] = make([]float64, len(m.Group.Ties))
		p, err := b.part(r, g, crossing, (*Model).Prepare)
		if err != nil {
			return nil, err
		}
		if p == nil {
			continue
		}
		c, v, err := p.potentials(site, out.Layers)
		if err != nil {
			return nil, err
		}
		if err := out.add(m, g, c, v); err != nil {
			return nil, err
		}
	}
	for _, l := range slices.Sorted(maps.Keys(out.Layers)) {
		out.Ohms += out.Layers[l]
	}
	return out, nil
}

// potentials solves for a group's contacts and one site together: for the
// reading's current and for unit current at its volt contacts. What patches add
// beyond the mesh goes to their layers.
func (p *part) potentials(site int, layers map[int]float64) (c, v []float64, err error) {
	m, f := p.probes.model, &contactSpace{space: p.probes.model.nodal}
	both := &Contacts{model: m, spaces: []*contactSpace{f}}
	last := len(p.probes.Discs)
	current, volts := p.current[:last], p.volts[:last]
	f.arcs = append(f.arcs, p.probes.spaces[0].arcs...)
	f.own = append(f.own, p.probes.spaces[0].own...)
	both.Discs = append(both.Discs, p.probes.Discs...)
	both.touched = append(both.touched, p.probes.touched...)
	both.unrefined = append(both.unrefined, p.probes.unrefined...)
	if p.current[last] != 0 || p.volts[last] != 0 {
		current, volts = p.current, p.volts
		f.arcs = append(f.arcs, p.sites.spaces[0].arcs[site])
		f.own = append(f.own, p.sites.spaces[0].own[site])
		both.Discs = append(both.Discs, p.sites.Discs[site])
		both.touched = append(both.touched, p.sites.touched[site])
		both.unrefined = append(both.unrefined, true)
	}
	all := make([]int, len(both.Discs))
	for i := range all {
		all[i] = i
	}
	if err := f.joined(all); err != nil {
		return nil, nil, err
	}
	cluster, n := both.clusters(all)
	arcs, g, owner, err := f.gather(both, all)
	if err != nil {
		return nil, nil, err
	}
	contactOf := slices.Clone(owner)
	for i, k := range owner {
		owner[i] = cluster[k]
	}
	var u, flows [2][]float64
	for k, weights := range [2][]float64{current, volts} {
		flow := make([]float64, n)
		for i, w := range weights {
			flow[cluster[i]] += w
		}
		into, err := currents(g, owner, flow)
		if err != nil {
			return nil, nil, err
		}
		flows[k] = into
		u[k], _ = f.driven(arcs, into)
	}
	if both.refines(all) {
		paths := f.space.factor.ForwardMany(arcs)
		for i, mesh := range sparse.Gram(paths, paths) {
			a, b := i/len(arcs), i%len(arcs)
			layers[both.Discs[contactOf[a]].Layer] += flows[0][a] * flows[1][b] * (g[i] - mesh)
		}
	}
	return u[0], u[1], nil
}

// add takes in a group's parts.
func (out *Sensitivity) add(m *Model, g int, c, v []float64) error {
	s := m.nodal
	for i, ms := range m.meshes {
		sheet := m.Group.Sheets[i]
		var sum float64
		gone := m.goneOf(i)
		for t := range ms.Triangle {
			if gone[t] {
				continue
			}
			cx, cy, area := s.gradient(ms, i, t, c)
			vx, vy, _ := s.gradient(ms, i, t, v)
			sum += (cx*vx + cy*vy) * area
		}
		out.Layers[sheet.Layer] += sheet.Conductance * sum
	}
	for b, barrel := range m.Group.Barrels {
		for l, ohms := range barrel.Ohms {
			up, down := s.rim[b][l], s.rim[b][l+1]
			part := (c[up] - c[down]) * (v[up] - v[down]) / ohms
			out.Holes += part
			out.Plating += part * barrel.PlatingExponent
			out.Ohms += part
		}
	}
	for k, tie := range m.Group.Ties {
		var across [2]float64
		for e, end := range []Terminal{tie.A, tie.B} {
			mean, err := m.mean(s, Disc{end.Layer, end.At, tieDiameter})
			if err != nil {
				return err
			}
			for i, n := range mean.Index {
				w := float64(1-2*e) * mean.Value[i]
				across[0] += w * c[n]
				across[1] += w * v[n]
			}
		}
		part := across[0] * across[1] / tie.Ohms
		out.Ties[g][k] = part
		out.Ohms += part
	}
	return nil
}
