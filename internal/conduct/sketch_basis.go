package conduct

import (
	"math"
	"slices"

	"ohmward/internal/sparse"
)

// Limits of the basis: the most pivots; the most work in solving for them, in
// unknowns times solutions; and the remainder, in ohms, below which a further
// pivot changes no share that matters: a tenth of it, as uncertain as copper's
// thickness, is far below any meter's noise.
const (
	mostPivots     = 48
	mostSolved     = 100e6
	leastRemainder = 5e-5
)

// basis is the fields of some contacts, the pivots, made orthonormal in energy.
// Each connected piece of copper has a datum contact of its own: what counts of
// a contact is its field less the datum's, current going in at one and out at
// the other.
type basis struct {
	model  *Model
	datums map[int32]*datum // of each piece
	pivots []*pivot
	shared map[Disc][][]float64 // of each place to touch: as projected.with
	mixed  [][]float64          // [set] energy in the set of each pair of basis fields, row-major
}

type datum struct {
	path sparse.Path
	load sparse.Vector
	self float64 // its own Green's function
}

type pivot struct {
	contact int // among those that the basis was made from
	piece   int32
	path    sparse.Path
	datum   float64   // Green's function with the datum's contact
	at      []float64 // coordinates: those of the pivots before it and its own
}

// projected is contacts, each as one current distribution on the mesh as it is,
// and as a basis has them.
type projected struct {
	loads []sparse.Vector
	paths []sparse.Path
	piece []int32
	layer []int
	datum []float64     // Green's function with the datum's contact
	at    [][]float64   // coordinates
	rest  []float64     // energy of what is orthogonal to the basis, ohms
	with  [][][]float64 // [contact][set] energy in the set with each basis field
}

// newBasis chooses pivots among contacts, each the one with the largest
// remainder, where each is solved for so many times.
func newBasis(m *Model, all *projected, times int) *basis {
	b := &basis{model: m, datums: map[int32]*datum{}}
	b.chooseDatums(all)
	most := min(mostPivots, int(mostSolved/float64(times*len(m.nodal.x))))
	for len(b.pivots) < most {
		best, rest := -1, leastRemainder
		for i, r := range all.rest {
			if r > rest {
				best, rest = i, r
			}
		}
		if best < 0 {
			break
		}
		b.addPivot(all, best)
	}
	return b
}

// unprojected gives contacts without coordinates.
func unprojected(contacts ...*Contacts) *projected {
	out := &projected{}
	for _, c := range contacts {
		for i, arcs := range c.spaces[0].arcs {
			paths := c.spaces[0].paths[i]
			w := equilibrium(slices.Clone(c.selves()[i]), len(paths))
			var load sparse.Vector
			for k, a := range arcs {
				load.Index = append(load.Index, a.Index...)
				for _, v := range a.Value {
					load.Value = append(load.Value, w[k]*v)
				}
			}
			out.loads = append(out.loads, load)
			out.paths = append(out.paths, sparse.Combine(paths, w))
			out.piece = append(out.piece, c.component(i))
			out.layer = append(out.layer, c.Discs[i].Layer)
		}
	}
	n := len(out.paths)
	out.datum, out.rest, out.at = make([]float64, n), make([]float64, n), make([][]float64, n)
	return out
}

// chooseDatums takes the first contact on each piece as its datum. All the rest
// is remainder.
func (b *basis) chooseDatums(all *projected) {
	for i, piece := range all.piece {
		if b.datums[piece] != nil {
			continue
		}
		path := all.paths[i]
		d := &datum{path: path, load: all.loads[i], self: sparse.Dot(path, path)}
		b.datums[piece] = d
		for j, g := range sparse.Gram([]sparse.Path{path}, all.paths) {
			if all.piece[j] == piece {
				all.datum[j] = g
				all.rest[j] = sparse.Dot(all.paths[j], all.paths[j]) - 2*g + d.self
			}
		}
	}
}

// addPivot takes a contact into the basis.
func (b *basis) addPivot(all *projected, i int) {
	p := &pivot{contact: i, piece: all.piece[i], path: all.paths[i], datum: all.datum[i]}
	b.pivots = append(b.pivots, p)
	root := math.Sqrt(all.rest[i])
	p.at = append(slices.Clone(all.at[i]), root)
	for j, green := range sparse.Gram([]sparse.Path{p.path}, all.paths) {
		z := 0.0
		switch {
		case j == i:
			z, all.rest[i] = root, 0
		case all.piece[j] == p.piece:
			z = b.coordinate(green, all, j, p)
			all.rest[j] = max(0, all.rest[j]-z*z)
		}
		all.at[j] = append(all.at[j], z)
	}
}

// coordinate is a contact's next coordinate, that of a pivot on its piece;
// green is the Green's function of both.
func (b *basis) coordinate(green float64, x *projected, i int, p *pivot) float64 {
	before := len(x.at[i])
	green += b.datums[p.piece].self - x.datum[i] - p.datum
	return (green - dot(x.at[i], p.at[:before])) / p.at[before]
}

// project gives contacts their coordinates. A contact on a piece of copper that
// has no site and no place to touch has none. Of one that is no place to touch
// what lies beyond the basis is taken to have no part in any set.
func (b *basis) project(c *Contacts) *projected {
	out := unprojected(c)
	for i, path := range out.paths {
		d := b.datums[out.piece[i]]
		if d != nil {
			out.datum[i] = sparse.Dot(path, d.path)
			out.rest[i] = sparse.Dot(path, path) - 2*out.datum[i] + d.self
		}
		for _, p := range b.pivots {
			z := 0.0
			if p.piece == out.piece[i] {
				z = b.coordinate(sparse.Dot(path, p.path), out, i, p)
			}
			out.at[i] = append(out.at[i], z)
		}
		out.rest[i] = max(0, out.rest[i]-dot(out.at[i], out.at[i]))
		with := b.shared[c.Discs[i]]
		if with == nil {
			for _, m := range b.mixed {
				with = append(with, times(m, out.at[i]))
			}
		}
		out.with = append(out.with, with)
	}
	return out
}
