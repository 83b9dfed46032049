package conduct

import (
	"fmt"
	"slices"
	"strings"
	"sync"

	"ohmward/internal/sparse"
)

// patchStore keeps the patches that were asked for last, for all models of one
// mesh and the same connections.
type patchStore struct {
	mu    sync.Mutex
	known map[string]*storedPatch
	order []string
}

type storedPatch struct {
	once  sync.Once
	patch *patch
}

// mostPatches bounds what is kept: a patch takes about half a megabyte.
const mostPatches = 64

// patch gives the patch of some contacts on a sheet, nil where there can be
// none.
func (m *Model) patch(sheet int, discs []Disc) *patch {
	var key strings.Builder
	fmt.Fprint(&key, sheet)
	for _, d := range discs {
		fmt.Fprint(&key, " ", d.At.X, d.At.Y, d.Diameter)
	}
	s := m.patches
	s.mu.Lock()
	entry := s.known[key.String()]
	if entry == nil {
		entry = &storedPatch{}
		s.known[key.String()] = entry
		s.order = append(s.order, key.String())
		if len(s.order) > mostPatches {
			delete(s.known, s.order[0])
			s.order = s.order[1:]
		}
	}
	s.mu.Unlock()
	entry.once.Do(func() { entry.patch = m.newPatch(sheet, discs) })
	return entry.patch
}

func newPatchStore() *patchStore { return &patchStore{known: map[string]*storedPatch{}} }

// unfollowed tells whether a contact has a rim that the mesh does not follow.
func (m *Model) unfollowed(d Disc) bool { return d.Diameter > 0 && !m.discs[d] }

// patchesFor gives the patches for a reading's contacts: one for each that the
// mesh does not follow, or one for several that stand close together, be the
// others followed or not. Contacts whose patch cannot be made stay as they are.
func (c *Contacts) patchesFor(contacts []int) []*patch {
	m := c.model
	var out []*patch
	for sheet, s := range m.Group.Sheets {
		var groups []*patchGroup
		for k, i := range contacts {
			d := c.Discs[i]
			if d.Layer != s.Layer || slices.Contains(contacts[:k], i) || c.plain[i] {
				continue
			}
			g := &patchGroup{discs: []Disc{d}, taken: map[int]bool{}}
			m.takeOut(sheet, d, g.taken)
			if len(g.taken) > 0 {
				groups = append(groups, g)
			}
		}
		if len(groups) == 0 {
			continue
		}
		for _, i := range contacts {
			if d := c.Discs[i]; d.Layer == s.Layer && m.discs[d] {
				groups = c.joinFollowed(groups, sheet, i)
			}
		}
		for _, g := range joinGroups(groups) {
			slices.SortFunc(g.discs, compareDiscs)
			if p := m.patch(sheet, slices.Compact(g.discs)); p != nil {
				out = append(out, p)
			}
		}
	}
	return out
}

// patchGroup is contacts that share a patch.
type patchGroup struct {
	discs []Disc
	taken map[int]bool
}

func compareDiscs(a, b Disc) int {
	for _, d := range []int64{a.At.X - b.At.X, a.At.Y - b.At.Y, a.Diameter - b.Diameter} {
		if d != 0 {
			return int(max(-1, min(1, d)))
		}
	}
	return a.Layer - b.Layer
}

// joinFollowed takes a contact that the mesh follows into a patch that takes
// out triangles at its rim.
func (c *Contacts) joinFollowed(groups []*patchGroup, sheet, contact int) []*patchGroup {
	rim := map[int32]bool{}
	for _, a := range c.spaces[0].arcs[contact] {
		for _, u := range a.Index {
			rim[u] = true
		}
	}
	for _, g := range groups {
		for t := range g.taken {
			dof := c.model.nodal.dof[sheet][t]
			if rim[dof[0]] || rim[dof[1]] || rim[dof[2]] {
				d := c.Discs[contact]
				joined := &patchGroup{discs: []Disc{d}, taken: map[int]bool{}}
				c.model.takeOut(sheet, d, joined.taken)
				return append(groups, joined)
			}
		}
	}
	return groups
}

// joinGroups unites groups that take out the same triangles.
func joinGroups(groups []*patchGroup) []*patchGroup {
	for i := 0; i < len(groups); i++ {
		for j := i + 1; j < len(groups); j++ {
			if !overlap(groups[i].taken, groups[j].taken) {
				continue
			}
			groups[i].discs = append(groups[i].discs, groups[j].discs...)
			for t := range groups[j].taken {
				groups[i].taken[t] = true
			}
			groups = slices.Delete(groups, j, j+1)
			i = -1
			break
		}
	}
	return groups
}

func overlap(a, b map[int]bool) bool {
	for t := range a {
		if b[t] {
			return true
		}
	}
	return false
}

// mending is some patches put into the mesh together. With G the Green's
// function of the mesh as it is, the mended one is G - G W G with
//
//	W = (gain^-1 + G)^-1 = gain - gain L M^-1 L' gain,
//	G = L L' on the ports, M = 1 + L' gain L
//
// M is positive definite, because mesh and patch are: where rounding says
// otherwise, nothing is mended.
type mending struct {
	patches []*patch
	ports   []int32
	at      map[int32]int // place among the ports
	paths   []sparse.Path
	g, w    []float64
}

// mend puts patches into the mesh.
func (f *felt) mend(m *Model, patches []*patch) (*mending, bool) {
	seen := map[int32]bool{}
	for _, p := range patches {
		for _, u := range p.ports {
			seen[u] = true
		}
	}
	md := &mending{patches: patches, ports: sorted(seen), at: map[int32]int{}}
	var units []sparse.Vector
	for i, u := range md.ports {
		md.at[u] = i
		units = append(units, sparse.Vector{Index: []int32{u}, Value: []float64{1}})
	}
	md.paths = f.space.factor.ForwardMany(units)
	md.g = sparse.Gram(md.paths, md.paths)
	n := len(md.ports)
	gain := make([]float64, n*n)
	for _, p := range patches {
		sigma := m.Group.Sheets[p.sheet].Conductance
		for i, u := range p.ports {
			for j, v := range p.ports {
				gain[md.at[u]*n+md.at[v]] += sigma * p.gain[i*len(p.ports)+j]
			}
		}
	}
	l := slices.Clone(md.g)
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
	for i := range n {
		row := x[i*n : (i+1)*n]
		for k := range i {
			if f := mm[i*n+k]; f != 0 {
				for j, v := range x[k*n : (k+1)*n] {
					row[j] -= f * v
				}
			}
		}
		for j := range row {
			row[j] /= mm[i*n+i]
		}
	}
	md.w = gain
	for i, v := range multiply(transposed(x, n, n), x, n, n, n) {
		md.w[i] -= v
	}
	return md, true
}

// source is something that current goes into in a mended mesh: a vector over
// unknowns of the mesh, no inner ones, and what of it lies in patches.
type source struct {
	vector sparse.Vector
	parts  []patchPart
}

// patchPart is a current within a patch and how that answers, with the ports at
// zero and per siemens.
type patchPart struct {
	patch  *patch
	inside []float64 // by contact of the patch: the current that gets there
	felt   []share   // where the rest goes in, by free node
	answer []float64 // the free nodes' potentials for that
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
func (md *mending) sources(c *Contacts, contact int) []source {
	var out []source
	d := c.Discs[contact]
	for _, p := range md.patches {
		if i := slices.Index(p.discs, d); i >= 0 {
			out = append(out, contactSource(p, i))
		}
	}
	if out != nil {
		return out
	}
	arcs := c.spaces[0].arcs[contact]
	if slices.ContainsFunc(arcs, md.takes) {
		return md.feltSources(c.model, d, len(arcs))
	}
	for _, a := range arcs {
		out = append(out, source{vector: a})
	}
	return out
}

// takes tells whether an arc uses an unknown that patches took out.
func (md *mending) takes(a arc) bool {
	return slices.ContainsFunc(a.Index, func(u int32) bool {
		return slices.ContainsFunc(md.patches, func(p *patch) bool { return p.inner[u] })
	})
}

// meet is what two sources have in common within patches, beyond what the
// mesh says: the potential at one for unit current into the other with the
// ports at zero.
func (md *mending) meet(m *Model, a, b source) float64 {
	var sum float64
	for _, x := range a.parts {
		for _, y := range b.parts {
			if x.patch == y.patch {
				sum += x.meet(y) / m.Group.Sheets[x.patch.sheet].Conductance
			}
		}
	}
	return sum
}

func (x patchPart) meet(y patchPart) float64 {
	c := len(x.inside)
	var sum float64
	for i, u := range x.inside {
		for j, v := range y.inside {
			sum += u * v * x.patch.fine.own[i*c+j]
		}
	}
	if y.answer != nil {
		for _, s := range x.felt {
			sum += s.weight * y.answer[s.column]
		}
	}
	return sum
}

// sourceSet is sources with their paths.
type sourceSet struct {
	sources []source
	paths   []sparse.Path
	toPorts []float64 // G from the ports to each, row by port
	bent    []float64 // W times that
}

func (f *felt) solveSources(md *mending, sources []source) *sourceSet {
	s := &sourceSet{sources: sources}
	var vectors []sparse.Vector
	for _, a := range sources {
		vectors = append(vectors, a.vector)
	}
	s.paths = f.space.factor.ForwardMany(vectors)
	s.bend(md)
	return s
}

func (s *sourceSet) bend(md *mending) {
	n, k := len(md.ports), len(s.paths)
	s.toPorts = sparse.Gram(md.paths, s.paths)
	s.bent = multiply(md.w, s.toPorts, n, n, k)
}

// green is the mended Green's function among sources.
func (s *sourceSet) green(m *Model, md *mending) []float64 {
	n, k := len(md.ports), len(s.paths)
	g := sparse.Gram(s.paths, s.paths)
	for p := range n {
		for a := range k {
			if f := s.toPorts[p*k+a]; f != 0 {
				for b, v := range s.bent[p*k : (p+1)*k] {
					g[a*k+b] -= f * v
				}
			}
		}
	}
	for a := range k {
		for b := range a + 1 {
			v := (g[a*k+b]+g[b*k+a])/2 + md.meet(m, s.sources[a], s.sources[b])
			g[a*k+b], g[b*k+a] = v, v
		}
	}
	return g
}

// loads are the currents on the mesh as it is that do outside of the patches
// what the sources do in the mended one.
func (s *sourceSet) loads(md *mending) []arc {
	k := len(s.sources)
	out := make([]arc, k)
	for a, from := range s.sources {
		sum := map[int32]float64{}
		for i, u := range from.vector.Index {
			sum[u] += from.vector.Value[i]
		}
		for p, u := range md.ports {
			sum[u] -= s.bent[p*k+a]
		}
		out[a] = toArc(sum, 1)
	}
	return out
}

// mends tells whether patches mend some of the contacts.
func (c *Contacts) mends(contacts []int) bool {
	return slices.ContainsFunc(contacts, func(i int) bool { return i < len(c.plain) && !c.plain[i] })
}

// spacesFor is the spaces that tell about some contacts: patches mend the nodal
// one alone.
func (c *Contacts) spacesFor(contacts []int) []*felt {
	if c.mends(contacts) {
		return c.spaces[:1]
	}
	return c.spaces
}

// patchable tells whether a contact's patch can be made.
func (m *Model) patchable(d Disc) bool {
	for sheet, s := range m.Group.Sheets {
		if s.Layer == d.Layer && m.patch(sheet, []Disc{d}) != nil {
			return true
		}
	}
	return false
}

// gatherMended is gather with the contacts' patches put in; the arcs are the
// currents that do the same outside of them.
func (f *felt) gatherMended(c *Contacts, contacts []int) (arcs []arc, g []float64, owner []int, ok bool) {
	md, ok := f.mend(c.model, c.patchesFor(contacts))
	if !ok {
		return nil, nil, nil, false
	}
	var all []source
	for k, i := range contacts {
		if slices.Contains(contacts[:k], i) {
			continue
		}
		for _, s := range md.sources(c, i) {
			all, owner = append(all, s), append(owner, k)
		}
	}
	s := f.solveSources(md, all)
	return s.loads(md), s.green(c.model, md), owner, true
}

// What contacts that the mesh does not follow may be off, in squares: mended,
// and where no patch can be made (up to 3 low and 0.02 high in the tests, which
// draw the worst that a coarse mesh can do).
const (
	mendedSlack = 0.01
	roughLow    = 4.0
	roughHigh   = 0.1
)

func (c *Contacts) mendedResistance(i, j int) (Bounds, error) {
	z, err := c.spaces[0].impedance(c, []int{i, j})
	if err != nil {
		return Bounds{}, err
	}
	r := z[0][0] + z[1][1] - 2*z[0][1]
	return c.widened(between(r, r), i, j), nil
}

// widened takes into a bracket what contacts add that the mesh does not follow.
func (c *Contacts) widened(b Bounds, contacts ...int) Bounds {
	for _, i := range contacts {
		if i >= len(c.plain) {
			continue
		}
		var low, high float64
		switch {
		case !c.plain[i]:
			low, high = mendedSlack, mendedSlack
		case c.model.unfollowed(c.Discs[i]):
			low, high = roughLow, roughHigh
		}
		sigma := c.sheetConductance(i)
		b.High, b.Upper = b.High+low/sigma, b.Upper+low/sigma
		b.Low, b.Lower = max(0, b.Low-high/sigma), max(0, b.Lower-high/sigma)
	}
	return b
}

// sheetConductance is that of the layer a contact stands on.
func (c *Contacts) sheetConductance(contact int) float64 {
	for _, s := range c.model.Group.Sheets {
		if s.Layer == c.Discs[contact].Layer {
			return s.Conductance
		}
	}
	return 1
}
