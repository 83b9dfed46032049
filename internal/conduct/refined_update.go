package conduct

import (
	"slices"

	"ohmward/internal/sparse"
)

// lowRankUpdate is some patches put into the mesh together. With G the Green's
// function of the mesh as it is, the refined one is G - G W G with
//
//	W = (gain^-1 + G)^-1 = gain - gain L M^-1 L' gain,
//	G = L L' on the ports, M = 1 + L' gain L
//
// M is positive definite, because mesh and patch are: where rounding says
// otherwise, nothing is refined.
type lowRankUpdate struct {
	patches []*patch
	ports   []int32
	at      map[int32]int // place among the ports
	paths   []sparse.Path
	g, w    []float64
}

// update puts patches into the mesh.
func (f *contactSpace) update(m *Model, patches []*patch) (*lowRankUpdate, bool) {
	seen := map[int32]bool{}
	for _, p := range patches {
		for _, u := range p.ports {
			seen[u] = true
		}
	}
	lr := &lowRankUpdate{patches: patches, ports: sorted(seen), at: map[int32]int{}}
	var units []sparse.Vector
	for i, u := range lr.ports {
		lr.at[u] = i
		units = append(units, unitArc(u))
	}
	lr.paths = f.space.factor.ForwardMany(units)
	lr.g = sparse.Gram(lr.paths, lr.paths)
	n := len(lr.ports)
	gain := make([]float64, n*n)
	for _, p := range patches {
		sigma := m.Group.Sheets[p.sheet].Conductance
		for i, u := range p.ports {
			for j, v := range p.ports {
				gain[lr.at[u]*n+lr.at[v]] += sigma * p.gain[i*len(p.ports)+j]
			}
		}
	}
	l := slices.Clone(lr.g)
	if !cholesky(l, n) {
		return nil, false
	}
	for i := range n {
		clear(l[i*n+i+1 : (i+1)*n])
	}
	gl := multiply(gain, l, n, n, n)
	mm := multiply(transposed(l, n, n), gl, n, n, n)
	for i := range n {
		mm[i*n+i]++
	}
	if !cholesky(mm, n) {
		return nil, false
	}
	// X = C^-1 L' gain with M = C C', so that W = gain - X'X.
	x := transposed(gl, n, n)
	forward(mm, n, x, n)
	lr.w = gain
	for i, v := range multiply(transposed(x, n, n), x, n, n, n) {
		lr.w[i] -= v
	}
	return lr, true
}

// source is something that current goes into in a refined mesh: a vector over
// unknowns of the mesh, no inner ones, and what of it lies in patches.
type source struct {
	vector sparse.Vector
	parts  []patchPart
}

// patchPart is a current within a patch and how that answers, with the ports at
// zero and per siemens.
type patchPart struct {
	patch    *patch
	inside   []float64 // by contact of the patch: the current that gets there
	nodes    []share   // where the rest goes in, by free node
	response []float64 // the free nodes' potentials for that
}

// contactSource is a contact as a source.
func contactSource(p *patch, disc int) source {
	n := len(p.ports)
	inside := make([]float64, len(p.discs))
	inside[disc] = 1
	return source{
		vector: sparse.Vector{Index: p.ports, Value: p.fine.load[disc*n : (disc+1)*n]},
		parts:  []patchPart{{patch: p, inside: inside}},
	}
}

// sources lists a contact's: itself in its patches, or its arcs as they are.
func (lr *lowRankUpdate) sources(c *Contacts, contact int) (out []source, err error) {
	d := c.Discs[contact]
	for _, p := range lr.patches {
		if i := slices.Index(p.discs, d); i >= 0 {
			out = append(out, contactSource(p, i))
		}
	}
	if out != nil {
		return out, nil
	}
	arcs := c.spaces[0].arcs[contact]
	if slices.ContainsFunc(arcs, lr.removes) {
		return lr.sampledSources(c.model, d, len(arcs))
	}
	for _, a := range arcs {
		out = append(out, source{vector: a})
	}
	return out, nil
}

// removes tells whether an arc uses an unknown that patches took out.
func (lr *lowRankUpdate) removes(a arc) bool {
	return slices.ContainsFunc(a.Index, func(u int32) bool {
		return slices.ContainsFunc(lr.patches, func(p *patch) bool { return p.inner[u] })
	})
}

// coupling is what two sources have in common within patches, beyond what the
// mesh says: the potential at one for unit current into the other with the
// ports at zero.
func (lr *lowRankUpdate) coupling(m *Model, a, b source) float64 {
	var sum float64
	for _, x := range a.parts {
		for _, y := range b.parts {
			if x.patch == y.patch {
				sum += x.coupling(y) / m.Group.Sheets[x.patch.sheet].Conductance
			}
		}
	}
	return sum
}

func (x patchPart) coupling(y patchPart) float64 {
	c := len(x.inside)
	var sum float64
	for i, u := range x.inside {
		for j, v := range y.inside {
			sum += u * v * x.patch.fine.own[i*c+j]
		}
	}
	if y.response != nil {
		for _, s := range x.nodes {
			sum += s.weight * y.response[s.column]
		}
	}
	return sum
}

// sourceSet is sources with their paths.
type sourceSet struct {
	sources []source
	paths   []sparse.Path
	toPorts []float64 // G from the ports to each, row by port
	wg      []float64 // W times that
}

func (f *contactSpace) solveSources(lr *lowRankUpdate, sources []source) *sourceSet {
	s := &sourceSet{sources: sources}
	var vectors []sparse.Vector
	for _, a := range sources {
		vectors = append(vectors, a.vector)
	}
	s.paths = f.space.factor.ForwardMany(vectors)
	s.applyW(lr)
	return s
}

func (s *sourceSet) applyW(lr *lowRankUpdate) {
	n, k := len(lr.ports), len(s.paths)
	s.toPorts = sparse.Gram(lr.paths, s.paths)
	s.wg = multiply(lr.w, s.toPorts, n, n, k)
}

// green is the refined Green's function among sources.
func (s *sourceSet) green(m *Model, lr *lowRankUpdate) []float64 {
	n, k := len(lr.ports), len(s.paths)
	g := sparse.Gram(s.paths, s.paths)
	for p := range n {
		for a := range k {
			if f := s.toPorts[p*k+a]; f != 0 {
				for b, v := range s.wg[p*k : (p+1)*k] {
					g[a*k+b] -= f * v
				}
			}
		}
	}
	for a := range k {
		for b := range a + 1 {
			v := (g[a*k+b]+g[b*k+a])/2 + lr.coupling(m, s.sources[a], s.sources[b])
			g[a*k+b], g[b*k+a] = v, v
		}
	}
	return g
}

// loads are the currents on the mesh as it is that do outside of the patches
// what the sources do in the refined one.
func (s *sourceSet) loads(lr *lowRankUpdate) []arc {
	k := len(s.sources)
	out := make([]arc, k)
	for a, from := range s.sources {
		sum := map[int32]float64{}
		for i, u := range from.vector.Index {
			sum[u] += from.vector.Value[i]
		}
		for p, u := range lr.ports {
			sum[u] -= s.wg[p*k+a]
		}
		out[a] = toArc(sum, 1)
	}
	return out
}
