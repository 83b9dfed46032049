package conduct

import (
	"cmp"
	"slices"
)

// sampledSources are the arcs of a contact that no patch follows but that reaches
// into one: sampled on the fine mesh there, on the mesh as it is elsewhere.
func (lr *lowRankUpdate) sampledSources(m *Model, d Disc, pieces int) ([]source, error) {
	var rim []rimPiece
	for sheet, s := range m.Group.Sheets {
		if s.Layer == d.Layer {
			rim = append(rim, d.sampledPieces(func(x, y float64) (rimPiece, bool) {
				return lr.interpolate(m, sheet, x, y)
			})...)
		}
	}
	slices.SortStableFunc(rim, func(a, b rimPiece) int { return cmp.Compare(a.angle, b.angle) })
	var out []source
	for _, u := range m.rimsOf(m.nodal, d) {
		out = append(out, source{vector: unitArc(u)})
	}
	for _, a := range gather(rim, max(1, pieces-len(out))) {
		s, err := lr.split(a)
		if err != nil {
			return nil, err
		}
		out = append(out, s)
	}
	return out, nil
}

// A node of a patch's fine mesh is named by -1 - (patch << patchShift) - node.
const patchShift = 22

// interpolate gives the interpolation at a point, in the fine mesh where a patch is.
func (lr *lowRankUpdate) interpolate(m *Model, sheet int, x, y float64) (rimPiece, bool) {
	t, _, ok := m.meshes[sheet].Find(x, y)
	if !ok {
		return rimPiece{}, false
	}
	for k, p := range lr.patches {
		if p.sheet != sheet || !p.removed[t] {
			continue
		}
		fine, lambda, ok := p.fine.mesh.Find(x, y)
		if !ok {
			return rimPiece{}, false
		}
		b := p.fine.at(fine, lambda)
		for i, v := range b.index {
			b.index[i] = -1 - int32(k)<<patchShift - v
		}
		return b, true
	}
	return m.at(m.nodal, sheet, x, y)
}

// at is the interpolation in a quarter of a fine triangle.
func (f *finePatch) at(t int, lambda [3]float64) rimPiece {
	v := f.mesh.Triangle[t]
	middle := func(i, j int) int32 { return f.between(v[i], v[j]) }
	for k := range 3 {
		i, j := (k+1)%3, (k+2)%3
		if lambda[k] > 0.5 {
			return rimPiece{
				index:  [3]int32{v[k], middle(k, i), middle(k, j)},
				weight: [3]float64{2*lambda[k] - 1, 2 * lambda[i], 2 * lambda[j]},
			}
		}
	}
	return rimPiece{
		index:  [3]int32{middle(1, 2), middle(2, 0), middle(0, 1)},
		weight: [3]float64{1 - 2*lambda[0], 1 - 2*lambda[1], 1 - 2*lambda[2]},
	}
}

// split makes a source of an arc whose negative indices name nodes of patches.
func (lr *lowRankUpdate) split(a arc) (s source, err error) {
	nodes := make([][]share, len(lr.patches))
	for k, u := range a.Index {
		if u >= 0 {
			s.vector.Index = append(s.vector.Index, u)
			s.vector.Value = append(s.vector.Value, a.Value[k])
			continue
		}
		n := -1 - u
		nodes[n>>patchShift] = append(nodes[n>>patchShift], share{int(n & (1<<patchShift - 1)), a.Value[k]})
	}
	for k, in := range nodes {
		if in == nil {
			continue
		}
		part, load, err := lr.patches[k].part(in)
		if err != nil {
			return source{}, err
		}
		s.parts = append(s.parts, part)
		for i, u := range lr.patches[k].ports {
			s.vector.Index = append(s.vector.Index, u)
			s.vector.Value = append(s.vector.Value, load[i])
		}
	}
	return s, nil
}

// part is current into some nodes of the fine mesh, and what of it leaves at
// the ports.
func (p *patch) part(nodes []share) (out patchPart, load []float64, err error) {
	f := p.fine
	out.patch = p
	column := make([]float64, f.ports+len(f.disc))
	for _, s := range nodes {
		if n := f.number[s.column]; n >= 0 {
			out.nodes = append(out.nodes, share{int(n), s.weight})
			for c := range column {
				column[c] += s.weight * f.toward[c][n]
			}
			continue
		}
		for _, t := range f.shares[s.column] {
			column[t.column] += s.weight * t.weight
		}
	}
	if len(out.nodes) > 0 {
		out.response = make([]float64, f.free)
		for _, s := range out.nodes {
			out.response[s.column] += s.weight
		}
		f.factor.Solve(out.response)
		if err := f.factor.Err(); err != nil {
			return patchPart{}, nil, err
		}
	}
	out.inside = column[f.ports:]
	load = column[:f.ports]
	for k, v := range out.inside {
		for i := range load {
			load[i] += v * f.load[k*f.ports+i]
		}
	}
	return out, load, nil
}
