package conduct

import (
	"context"
	"math"
	"slices"

	"ohmward/internal/geom"
	"ohmward/internal/mesh"
)

// Accuracy is the default half-width of the bracket that Solve refines to,
// relative to the resistance.
const Accuracy = 0.003

// mostRounds bounds how often Solve meshes anew.
const mostRounds = 8

// Solve builds a group with both spaces and refines its mesh until the
// brackets of the listed pairs of discs are within accuracy (0: Accuracy) or
// the rounds are used up. Where the bracket is wide is told by the two
// solutions' difference in each triangle.
func Solve(ctx context.Context, g Group, o Options, pairs [][2]int, accuracy float64) (*Contacts, error) {
	if accuracy == 0 {
		accuracy = Accuracy
	}
	o.Edge = true
	for round := 1; ; round++ {
		m, err := Build(ctx, g, o)
		if err != nil {
			return nil, err
		}
		c, err := m.Prepare(o.Discs, 0)
		if err != nil {
			return nil, err
		}
		wide := c.wide(pairs, accuracy)
		if len(wide) == 0 || round == mostRounds {
			return c, nil
		}
		sizes, err := c.refinement(wide)
		if err != nil {
			return nil, err
		}
		o.Sizes = append(o.Sizes, sizes...)
	}
}

// wide lists the pairs whose bracket is wider than accuracy.
func (c *Contacts) wide(pairs [][2]int, accuracy float64) [][2]int {
	var out [][2]int
	for _, p := range pairs {
		if b, err := c.Resistance(p[0], p[1]); err == nil && b.High-b.Low > 2*accuracy*b.Ohms {
			out = append(out, p)
		}
	}
	return out
}

// marked is the share of the bracket's width whose triangles are refined.
const marked = 0.7

// refinement asks for half the edge length in the triangles that hold most of
// the pairs' brackets: by the hypercircle identity of Prager and Synge,
// R_high - R_low = sum of sigma |grad u_nodal - grad u_edge|^2 A.
func (c *Contacts) refinement(pairs [][2]int) ([]SheetSize, error) {
	share := make([][]float64, len(c.model.meshes))
	for i, ms := range c.model.meshes {
		share[i] = make([]float64, len(ms.Triangle))
	}
	for _, p := range pairs {
		if err := c.addGap(share, p); err != nil {
			return nil, err
		}
	}
	type ref struct {
		sheet, triangle int
		gap             float64
	}
	var all []ref
	var total float64
	for i, gaps := range share {
		for t, g := range gaps {
			if g > 0 {
				all = append(all, ref{i, t, g})
				total += g
			}
		}
	}
	slices.SortFunc(all, func(a, b ref) int {
		switch {
		case a.gap > b.gap:
			return -1
		case a.gap < b.gap:
			return 1
		case a.sheet != b.sheet:
			return a.sheet - b.sheet
		}
		return a.triangle - b.triangle
	})
	var sizes []SheetSize
	var sum float64
	for _, r := range all {
		if sum += r.gap; sum > marked*total && len(sizes) > 0 {
			break
		}
		sizes = append(sizes, SheetSize{Layer: c.model.Group.Sheets[r.sheet].Layer, Size: halved(c.model.meshes[r.sheet], r.triangle)})
	}
	return sizes, nil
}

// halved asks for half the edge length of a triangle within it.
func halved(ms *mesh.Mesh, t int) mesh.Size {
	tri := ms.Triangle[t]
	var x, y, edge float64
	for k := range 3 {
		p, q := tri[k], tri[(k+1)%3]
		x += ms.X[p] / 3
		y += ms.Y[p] / 3
		edge += math.Hypot(ms.X[q]-ms.X[p], ms.Y[q]-ms.Y[p]) / 3
	}
	e := int64(edge * 1e9)
	at := geom.Point{X: int64(math.Round(x * 1e9)), Y: int64(math.Round(y * 1e9))}
	return mesh.Size{At: at, Radius: e / 2, Edge: max(e/2, finestEdge)}
}

// finestEdge is where refinement ends, in nanometres.
const finestEdge = 3000

// addGap adds, for a pair carrying unit current, each triangle's share of the
// relative width of the bracket.
func (c *Contacts) addGap(share [][]float64, pair [2]int) error {
	var u [2][]float64
	var ohms float64
	for k, f := range c.spaces {
		var err error
		if u[k], ohms, err = f.potential(c, pair); err != nil {
			return err
		}
	}
	nodal, edge := c.spaces[0].space, c.spaces[1].space
	for i, ms := range c.model.meshes {
		sigma := c.model.Group.Sheets[i].Conductance
		for t, tri := range ms.Triangle {
			var dx, dy float64
			var ex, ey [3]float64
			for k := range 3 {
				p, q := tri[(k+1)%3], tri[(k+2)%3]
				ex[k], ey[k] = ms.X[q]-ms.X[p], ms.Y[q]-ms.Y[p]
				// grad lambda_k is e_k turned left over 2A; 1 - 2 lambda_k
				// falls twice as fast.
				v := u[0][nodal.dof[i][t][k]] + 2*u[1][edge.dof[i][t][k]]
				dx -= v * ey[k]
				dy += v * ex[k]
			}
			area := (ex[0]*ey[1] - ex[1]*ey[0]) / 2
			share[i][t] += sigma * (dx*dx + dy*dy) / (4 * area) / ohms
		}
	}
	return nil
}

// potential is the whole solution in a space for unit current from one
// contact of a pair to the other, both equipotential, and their resistance.
func (f *felt) potential(c *Contacts, pair [2]int) (u []float64, ohms float64, err error) {
	arcs, g, owner := f.gather(pair[:])
	current, err := currents(g, owner, []float64{1, -1})
	if err != nil {
		return nil, 0, err
	}
	u, ohms = f.driven(arcs, current)
	return u, ohms, f.space.factor.Err()
}

// driven is the potential for currents into arcs, and the power.
func (f *felt) driven(arcs []arc, current []float64) (u []float64, watts float64) {
	u = make([]float64, len(f.space.x))
	for a, arc := range arcs {
		for k, i := range arc.Index {
			u[i] += current[a] * arc.Value[k]
		}
	}
	rhs := append([]float64(nil), u...)
	f.space.factor.Solve(u)
	for i, v := range rhs {
		watts += v * u[i]
	}
	return u, watts
}
