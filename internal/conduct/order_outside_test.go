package conduct

import (
	"context"
	"math"
	"testing"

	"ohmward/internal/mesh"
)

// quartered splits every triangle into four by the middles of its edges.
func quartered(ms *mesh.Mesh) *mesh.Mesh {
	out := &mesh.Mesh{X: append([]float64(nil), ms.X...), Y: append([]float64(nil), ms.Y...)}
	middle := map[[2]int32]int32{}
	mid := func(a, b int32) int32 {
		key := [2]int32{min(a, b), max(a, b)}
		v, ok := middle[key]
		if !ok {
			v = int32(len(out.X))
			middle[key] = v
			out.X, out.Y = append(out.X, (ms.X[a]+ms.X[b])/2), append(out.Y, (ms.Y[a]+ms.Y[b])/2)
		}
		return v
	}
	for _, t := range ms.Triangle {
		m := [3]int32{mid(t[1], t[2]), mid(t[2], t[0]), mid(t[0], t[1])}
		out.Triangle = append(
			out.Triangle, [3]int32{t[0], m[2], m[1]}, [3]int32{m[2], t[1], m[0]}, [3]int32{m[1], m[0], t[2]}, m,
		)
	}
	type side struct{ triangle, corner int }
	across := map[[2]int32]side{}
	out.Neighbour = make([][3]int32, len(out.Triangle))
	for t, tri := range out.Triangle {
		for k := range 3 {
			a, b := tri[(k+1)%3], tri[(k+2)%3]
			out.Neighbour[t][k] = -1
			if s, ok := across[[2]int32{b, a}]; ok {
				out.Neighbour[t][k], out.Neighbour[s.triangle][s.corner] = int32(s.triangle), int32(t)
			}
			across[[2]int32{a, b}] = side{t, k}
		}
	}
	return out
}

// finer is the same group on the quartered meshes; only hole rims are contacts
// there.
func (m *Model) finer(t *testing.T) *Model {
	t.Helper()
	out := &Model{Group: m.Group, discs: m.discs, rims: m.rims}
	for _, ms := range m.meshes {
		out.meshes = append(out.meshes, quartered(ms))
		out.rimEdges = append(out.rimEdges, map[Disc][]halfEdge{})
	}
	if err := out.solveSpaces(context.Background(), true); err != nil {
		t.Fatal(err)
	}
	return out
}

// orders gives log2 of the ratio of each error to the next.
func orders(errors []float64) (out []float64) {
	for i := range len(errors) - 1 {
		out = append(out, math.Log2(math.Abs(errors[i]/errors[i+1])))
	}
	return out
}

// holds fails unless the last of the observed orders is near the theory's.
func holds(t *testing.T, what string, errors []float64, want float64) {
	t.Helper()
	got := orders(errors)
	t.Logf("%s: errors %.3g, orders %.3f", what, errors, got)
	if last := got[len(got)-1]; math.Abs(last-want) > 0.12 {
		t.Errorf("%s: order %.3f, want %.3f", what, last, want)
	}
}

// Energies converge with order 2 where the potential is smooth. On a unit
// square of one siemens per square, current cos(pi x) enters the side y = 0:
// u = cos(pi x) cosh(pi (1-y)) / (pi sinh pi), energy coth(pi)/(2 pi).
func TestOrderSmooth(t *testing.T) {
	g, _ := strip{rectangle(1, 1), nil}.group(t.Name())
	m, err := Build(context.Background(), g, Options{MaxEdge: 300_000, Edge: true})
	if err != nil {
		t.Fatal(err)
	}
	want := 1 / math.Tanh(math.Pi) / (2 * math.Pi)
	var below, above []float64
	last := 0.0
	for range 4 {
		nodal, edge := m.nodal.cosine(m), m.edge.cosine(m)
		if nodal > want || nodal < last {
			t.Errorf("nodal energy %.8g after %.8g: not rising towards %.8g from below", nodal, last, want)
		}
		last = nodal
		below, above = append(below, nodal-want), append(above, edge-want)
		m = m.finer(t)
	}
	holds(t, "nodal elements", below, 2)
	holds(t, "edge elements", above, 2)
}

// cosine is the energy for current cos(pi x) over the side y = 0 (x in
// millimetres), by Simpson's rule on 16 parts of each edge.
func (s *space) cosine(m *Model) float64 {
	b := make([]float64, len(s.x))
	ms := m.meshes[0]
	for t, tri := range ms.Triangle {
		for k := range 3 {
			i, j := (k+1)%3, (k+2)%3
			if ms.Neighbour[t][k] >= 0 || ms.Y[tri[i]] > 1e-9 || ms.Y[tri[j]] > 1e-9 {
				continue
			}
			x0, x1 := ms.X[tri[i]]*1e3, ms.X[tri[j]]*1e3
			const parts = 16
			for p := range parts + 1 {
				w := []float64{2, 4}[p%2]
				if p == 0 || p == parts {
					w = 1
				}
				f := float64(p) / parts
				flow := w / (3 * parts) * math.Abs(x1-x0) * math.Cos(math.Pi*(x0+f*(x1-x0)))
				lambda := [3]float64{}
				lambda[i], lambda[j] = 1-f, f
				for c, v := range lambda {
					if s.onEdges {
						v = 1 - 2*v
					}
					b[s.dof[0][t][c]] += v * flow
				}
			}
		}
	}
	u := append([]float64(nil), b...)
	s.factor.Solve(u)
	var energy float64
	for i, v := range b {
		energy += v * u[i]
	}
	return energy
}

// At a right-angled inner corner, where the potential goes like r^(2/3),
// resistances converge with order 4/3 on even meshes, from either side, and
// the lower bound never falls under nested refinement. The shape is
// REFERENCES B11's bend.
func TestOrderCorner(t *testing.T) {
	onlyInFull(t)
	bend := strip{
		[][2]float64{{0, 0}, {3, 0}, {3, 1}, {1, 1}, {1, 3}, {0, 3}},
		[][4]float64{{3, 0, 3, 1}, {0, 3, 1, 3}},
	}
	g, discs := bend.group(t.Name())
	m, err := Build(context.Background(), g, Options{MaxEdge: 350_000, Edge: true, Simplify: -1})
	if err != nil {
		t.Fatal(err)
	}
	var lower, upper []float64
	for range 5 {
		c, err := m.Prepare(discs, 0)
		if err != nil {
			t.Fatal(err)
		}
		r, err := c.Resistance(0, 1)
		if err != nil {
			t.Fatal(err)
		}
		if n := len(lower); n > 0 && (r.Lower < lower[n-1] || r.Upper > upper[n-1]) {
			t.Errorf(
				"the bounds %.8g, %.8g became %.8g, %.8g on a nested mesh", lower[n-1], upper[n-1], r.Lower, r.Upper,
			)
		}
		lower, upper = append(lower, r.Lower), append(upper, r.Upper)
		m = m.finer(t)
	}
	// Arms of two widths: what the corner does is gone by exp(-4 pi) at their
	// ends.
	want := 4 + 1 - 2/math.Pi*math.Ln2
	var below, above []float64
	for i := range lower {
		below, above = append(below, lower[i]-want), append(above, upper[i]-want)
	}
	holds(t, "lower bound", below, 4.0/3)
	holds(t, "upper bound", above, 4.0/3)
}
