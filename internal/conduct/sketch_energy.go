package conduct

import (
	"slices"

	"ohmward/internal/parallel"
	"ohmward/internal/sparse"
)

// How many pivots' fields are solved for at a time: the most, and the numbers that all
// of them have together, for each of which four are held.
const (
	pivotsAtOnce  = 16
	numbersAtOnce = 12e6
)

// mix works out the energies in each set of layers. With K the set's part of
// the matrix A, f a pivot's field and c a contact's current, the energy of both is
// c' (A^-1 K f). places are the contacts from the given one on.
func (b *basis) mix(all *projected, parts []resistors, places []Disc, firstPlace int) error {
	all.with = make([][][]float64, len(all.loads))
	for i := range all.with {
		all.with[i] = make([][]float64, len(parts))
	}
	atOnce := min(pivotsAtOnce, max(2, int(numbersAtOnce/float64(len(b.model.nodal.x)))))
	for first := 0; first < len(b.pivots); first += atOnce {
		fields := b.fields(all, b.pivots[first:min(first+atOnce, len(b.pivots))])
		for l, part := range parts {
			b.energies(all, l, part, fields)
		}
	}
	if err := b.model.nodal.factor.Err(); err != nil {
		return err
	}
	for l := range parts {
		b.orthonormal(all, l)
	}
	b.shared = map[Disc][][]float64{}
	for i, d := range places {
		b.shared[d] = all.with[firstPlace+i]
	}
	return nil
}

// fields solves for pivots' currents coming out at their datum.
func (b *basis) fields(all *projected, pivots []*pivot) [][]float64 {
	columns := make([][]float64, len(pivots))
	for i, p := range pivots {
		columns[i] = make([]float64, len(b.model.nodal.x))
		scatter(columns[i], all.loads[p.contact], 1)
		scatter(columns[i], b.datums[p.piece].load, -1)
	}
	b.model.nodal.factor.SolveMany(columns)
	return columns
}

// energies appends the energy that every contact has in a set with each of some
// fields.
func (b *basis) energies(all *projected, set int, part resistors, fields [][]float64) {
	if len(part.dof) == 0 { // no copper of the group
		for i := range all.with {
			all.with[i][set] = append(all.with[i][set], make([]float64, len(fields))...)
		}
		return
	}
	columns := make([][]float64, len(fields))
	parallel.Each(len(fields), func(k int) { columns[k] = part.times(fields[k]) })
	b.model.nodal.factor.SolveMany(columns)
	for i, load := range all.loads {
		back := b.datums[all.piece[i]].load
		for _, c := range columns {
			all.with[i][set] = append(all.with[i][set], sample(c, load)-sample(c, back))
		}
	}
}

// orthonormal turns a set's energies with the pivots' fields into those with the
// basis: with L the pivots' coordinates f = L q, so that x' K q = L^-1 x' K f.
func (b *basis) orthonormal(all *projected, set int) {
	n := len(b.pivots)
	forward := func(x []float64) {
		for i, p := range b.pivots {
			x[i] = (x[i] - dot(p.at[:i], x)) / p.at[i]
		}
	}
	for _, with := range all.with {
		forward(with[set])
	}
	m, column := make([]float64, n*n), make([]float64, n)
	for k := range n {
		for i, p := range b.pivots {
			column[i] = all.with[p.contact][set][k]
		}
		forward(column)
		copy(m[k*n:], column)
	}
	b.mixed = append(b.mixed, m)
}

// resistors are those of some sheets' triangles.
type resistors struct {
	dof     [][3]int32
	siemens [][3]float64
}

func (m *Model) resistorsOf(layers []int) (r resistors) {
	for i, ms := range m.meshes {
		sheet, gone := m.Group.Sheets[i], m.goneOf(i)
		if !slices.Contains(layers, sheet.Layer) {
			continue
		}
		for t, tri := range ms.Triangle {
			if !gone[t] {
				r.dof = append(r.dof, m.nodal.dof[i][t])
				r.siemens = append(r.siemens, conductances(ms.X, ms.Y, tri, sheet.Conductance))
			}
		}
	}
	return r
}

// times is the current that a field drives out of each unknown.
func (r resistors) times(field []float64) []float64 {
	out := make([]float64, len(field))
	for t, d := range r.dof {
		for k, siemens := range r.siemens[t] {
			u, v := d[k], d[(k+1)%3]
			amps := siemens * (field[u] - field[v])
			out[u] += amps
			out[v] -= amps
		}
	}
	return out
}

func scatter(into []float64, v sparse.Vector, weight float64) {
	for k, u := range v.Index {
		into[u] += weight * v.Value[k]
	}
}

func sample(from []float64, v sparse.Vector) (sum float64) {
	for k, u := range v.Index {
		sum += v.Value[k] * from[u]
	}
	return sum
}

// times is a square matrix by a vector.
func times(m, x []float64) []float64 {
	out := make([]float64, len(x))
	for i := range out {
		out[i] = dot(m[i*len(x):(i+1)*len(x)], x)
	}
	return out
}

// combined is the weighted sum of some contacts' coordinates.
func combined(at [][]float64, weight []float64) []float64 {
	out := make([]float64, len(at[0]))
	for i, z := range at {
		for k, v := range z {
			out[k] += weight[i] * v
		}
	}
	return out
}

// dot is the product of x with as much of y.
func dot(x, y []float64) (sum float64) {
	for i, v := range x {
		sum += v * y[i]
	}
	return sum
}
