package mesh

import (
	"math"
	"slices"

	"ohmward/geom"
	"ohmward/internal/cache"
)

// TriangulateCached is Triangulate with a store in which meshes are looked up
// and kept; nil: none.
func TriangulateCached(s *cache.Store, in Input) (*Mesh, error) {
	if s == nil {
		return Triangulate(in)
	}
	return cache.Memo(s, in.key(), write, func(r *cache.Reader) *Mesh { return read(r, in) },
		func() (*Mesh, error) { return Triangulate(in) })
}

// key stands for all of an input.
func (in *Input) key() cache.Key {
	k := cache.NewKey("mesh")
	k.Region(in.Region)
	k.Ints(int64(len(in.Curves)))
	for _, c := range in.Curves {
		k.Points(c)
	}
	k.Ints(int64(len(in.Sizes)))
	for _, s := range in.Sizes {
		k.Ints(s.At.X, s.At.Y, s.Radius, s.Edge)
	}
	k.Ints(in.MaxEdge, in.MinEdge, int64(in.MaxVertices), in.Simplify)
	k.Floats(in.Grading, in.MinAngle)
	return k.Key()
}

func write(w *cache.Writer, m *Mesh) {
	w.Floats(m.X)
	w.Floats(m.Y)
	w.Bools(m.Outline)
	w.Int32s(m.Polygon)
	w.Int32s(flat(m.Triangle))
	w.Int32s(flat(m.Neighbour))
	w.Int32s(flat(m.Boundary))
	w.Int32s(flat(m.BoundaryRing))
	var curves []int32
	for _, e := range m.CurveEdges {
		curves = append(curves, e.Curve, e.A, e.B)
	}
	w.Int32s(curves)
}

// read checks every number against the lists that it points into.
func read(r *cache.Reader, in Input) *Mesh {
	m := &Mesh{X: r.Floats(), Y: r.Floats(), Outline: r.Bools(), Polygon: r.Int32s(0, max(1, len(in.Region)))}
	n, t := len(m.X), len(m.Polygon)
	m.Triangle = grouped[[3]int32](r, 0, n)
	m.Neighbour = grouped[[3]int32](r, -1, t)
	m.Boundary = grouped[[2]int32](r, 0, n)
	m.BoundaryRing = grouped[[2]int32](r, 0, 1+mostRings(in.Region))
	for _, e := range grouped[[3]int32](r, 0, max(n, len(in.Curves))) {
		if int(e[0]) >= len(in.Curves) || int(e[1]) >= n || int(e[2]) >= n {
			r.Fail()
		}
		m.CurveEdges = append(m.CurveEdges, CurveEdge{e[0], e[1], e[2]})
	}
	if len(m.Y) != n || len(m.Outline) != n || len(m.Triangle) != t || len(m.Neighbour) != t ||
		len(m.BoundaryRing) != len(m.Boundary) {
		r.Fail()
	}
	if r.Bad() || slices.ContainsFunc(slices.Concat(m.X, m.Y), math.IsNaN) || !m.linked() {
		r.Fail()
	}
	return m
}

// linked tells whether every neighbour leads back by an edge of the same
// vertices.
func (m *Mesh) linked() bool {
	for t, nb := range m.Neighbour {
		for k, n := range nb {
			if n < 0 {
				continue
			}
			a, b, o, back := m.Triangle[t][(k+1)%3], m.Triangle[t][(k+2)%3], m.Triangle[n], false
			for l := range 3 {
				back = back || int(m.Neighbour[n][l]) == t && o[(l+2)%3] == a && o[(l+1)%3] == b
			}
			if !back {
				return false
			}
		}
	}
	return true
}

// mostRings is the highest number of polygons, or of rings in one.
func mostRings(r geom.Region) int {
	most := len(r)
	for _, p := range r {
		most = max(most, 1+len(p.Holes))
	}
	return most
}

// flat lists numbers that come in twos or threes.
func flat[T [2]int32 | [3]int32](v []T) []int32 {
	var out []int32
	for _, x := range v {
		for i := range len(x) {
			out = append(out, x[i])
		}
	}
	return out
}

// grouped reads numbers from lo to below hi in twos or threes.
func grouped[T [2]int32 | [3]int32](r *cache.Reader, lo, hi int) []T {
	var x T
	v := r.Int32s(lo, hi)
	if len(v)%len(x) != 0 {
		r.Fail()
	}
	out := make([]T, len(v)/len(x))
	for i := range out {
		for k := range len(x) {
			out[i][k] = v[i*len(x)+k]
		}
	}
	return out
}
