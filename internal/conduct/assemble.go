package conduct

import (
	"fmt"

	"ohmward/internal/cache"
	"ohmward/internal/mesh"
	"ohmward/internal/sparse"
	"ohmward/internal/unionfind"
)

// factorise assembles the space's matrix and factors it.
func (s *space) factorise(m *Model) error {
	b := sparse.NewBuilder(len(s.x))
	calls := len(s.x)
	for _, ms := range m.meshes {
		calls += 9 * len(ms.Triangle)
	}
	b.Reserve(calls)
	sets := unionfind.New(len(s.x))
	for i, ms := range m.meshes {
		s.addSheet(b, sets, ms, s.dof[i], m.Group.Sheets[i].Conductance, m.goneOf(i))
		s.scale = max(s.scale, m.Group.Sheets[i].Conductance)
	}
	for i, barrel := range m.Group.Barrels {
		for _, u := range s.rim[i] {
			s.hold(u)
		}
		for l, ohms := range barrel.Ohms {
			u, v := s.rim[i][l], s.rim[i][l+1]
			addResistor(b, u, v, 1/ohms)
			sets.Join(int(u), int(v))
		}
	}
	for _, tie := range m.Group.Ties {
		if err := s.addTie(b, sets, m, tie); err != nil {
			return err
		}
	}
	s.ground(b, sets)
	s.matrix = b.Build()
	pattern, err := s.pattern, error(nil)
	if pattern == nil {
		pattern, err = sparse.AnalyseWithin(s.matrix, s.order(m.cache), s.x, s.y, m.memory)
	}
	if err == nil {
		s.factor, err = pattern.Factor(s.matrix)
	}
	if err != nil {
		return fmt.Errorf("%s: %w", m.Group.Name, err)
	}
	return nil
}

// order gives the order of elimination.
func (s *space) order(store *cache.Store) sparse.Order {
	if store == nil {
		return sparse.Dissect(s.matrix, s.x, s.y)
	}
	k := cache.NewKey("order")
	k.Ints(int64(s.matrix.N))
	for _, v := range s.matrix.Start {
		k.Ints(int64(v))
	}
	for _, v := range s.matrix.Row {
		k.Ints(int64(v))
	}
	k.Floats(s.x...)
	k.Floats(s.y...)
	o, _ := cache.Memo(store, k.Key(),
		func(w *cache.Writer, o sparse.Order) { w.Int32s(o) },
		func(r *cache.Reader) sparse.Order { return permutation(r, s.matrix.N) },
		func() (sparse.Order, error) { return sparse.Dissect(s.matrix, s.x, s.y), nil })
	return o
}

// permutation reads an order of n unknowns, each once.
func permutation(r *cache.Reader, n int) sparse.Order {
	o := r.Int32s(0, n)
	seen := make([]bool, n)
	for _, v := range o {
		if seen[v] {
			r.Fail()
			break
		}
		seen[v] = true
	}
	if len(o) != n {
		r.Fail()
	}
	return o
}

// addSheet adds every triangle's conductances:
// K_kl = sigma e_k.e_l/(4A) with e_k the edge opposite vertex k; in the edge
// space, whose basis functions are 1-2 lambda_k, four times as much.
func (s *space) addSheet(
	b *sparse.Builder, sets unionfind.Sets, ms *mesh.Mesh, dof [][3]int32, sigma float64, gone map[int]bool,
) {
	if s.onEdges {
		sigma *= 4
	}
	for t, tri := range ms.Triangle {
		if gone[t] {
			continue
		}
		d := dof[t]
		for k, siemens := range conductances(ms.X, ms.Y, tri, sigma) {
			// Rows sum to zero, so the off-diagonal entries say it all.
			addResistor(b, d[k], d[(k+1)%3], siemens)
		}
		sets.Join(int(d[0]), int(d[1]))
		sets.Join(int(d[0]), int(d[2]))
	}
}

// addResistor joins two unknowns by a conductance (which may be negative for
// obtuse triangles); nothing where they are one.
func addResistor(b *sparse.Builder, u, v int32, siemens float64) {
	if u == v {
		return
	}
	b.Add(int(u), int(u), siemens)
	b.Add(int(v), int(v), siemens)
	b.Add(int(u), int(v), -siemens)
}

// tieDiameter is the size of the spot through which a tie's current enters
// its pad, in nanometres.
const tieDiameter = 300_000

// addTie joins the mean potentials of two spots by a conductance.
func (s *space) addTie(b *sparse.Builder, sets unionfind.Sets, m *Model, tie Tie) error {
	across, err := m.across(s, tie)
	if err != nil {
		return fmt.Errorf("%s of %s: %w", tie.Part, m.Group.Name, err)
	}
	for i, u := range across.Index {
		sets.Join(int(u), int(across.Index[0]))
		s.hold(u)
		for j, v := range across.Index[:i+1] {
			w := across.Value[i] * across.Value[j] / tie.Ohms
			if u == v && i != j {
				w *= 2
			}
			b.Add(int(u), int(v), w)
		}
	}
	return nil
}

// across gives the weights that make the potential across a tie of those of
// unknowns; current into its first end and out of its second spreads likewise.
func (m *Model) across(s *space, tie Tie) (out sparse.Vector, err error) {
	sign := 1.0
	for _, end := range []Terminal{tie.A, tie.B} {
		v, err := m.mean(s, Disc{end.Layer, end.At, tieDiameter})
		if err != nil {
			return out, err
		}
		out.Index = append(out.Index, v.Index...)
		for _, w := range v.Value {
			out.Value = append(out.Value, sign*w)
		}
		sign = -1
	}
	return out, nil
}

// ground ties one unknown of each connected piece to zero by a resistor, so
// that the matrix is positive definite; currents that sum to zero in each
// piece do not use it.
func (s *space) ground(b *sparse.Builder, sets unionfind.Sets) {
	s.component = make([]int32, len(s.x))
	for i := range s.component {
		root := sets.Find(i)
		s.component[i] = int32(root)
		if root == i {
			b.Add(i, i, s.scale)
			s.hold(int32(i))
		}
	}
}

// hold notes an unknown that more than its sheet's copper holds.
func (s *space) hold(u int32) {
	if s.held == nil {
		s.held = map[int32]bool{}
	}
	s.held[u] = true
}
