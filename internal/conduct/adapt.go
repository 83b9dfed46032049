package conduct

import (
	"cmp"
	"context"
	"math"
	"slices"

	"ohmward/geom"
	"ohmward/internal/mesh"
)

// Accuracy is the default half-width of the bracket that Solve refines to,
// relative to the resistance.
const Accuracy = 0.003

// mostRounds bounds how often Solve meshes anew.
const mostRounds = 8

// Solve builds a group with both spaces and refines its mesh until the
// brackets of the listed pairs of discs are within accuracy (0: Accuracy), the
// rounds are used up, or a finer mesh no longer helps: the bracket then says
// what was reached. Where it is wide is told by the two solutions' difference
// in each triangle.
func Solve(ctx context.Context, g Group, o Options, pairs [][2]int, accuracy float64) (*Contacts, error) {
	accuracy = max(cmp.Or(accuracy, Accuracy), 2*leastBracket)
	o.Edge = true
	before, size := math.Inf(1), 0
	for round := 1; ; round++ {
		m, err := Build(ctx, g, o)
		if err != nil {
			return nil, err
		}
		c, err := m.Prepare(o.Discs, 0)
		if err != nil {
			return nil, err
		}
		wide, widest := c.wide(pairs, accuracy)
		n := m.triangles()
		if len(wide) == 0 || round == mostRounds || n > mostTriangles || n > 2*size && widest > leastGain*before {
			return c, nil
		}
		if n > 2*size || widest < before {
			before, size = widest, n
		}
		sizes, err := c.refinement(wide, accuracy)
		if err != nil {
			return nil, err
		}
		o.Sizes = append(o.Sizes, sizes...)
	}
}

// leastGain is what twice as many triangles must make of the widest bracket for
// another round to be worth it.
const leastGain = 0.95

// mostTriangles is where refinement ends.
const mostTriangles = 1_500_000

func (m *Model) triangles() (n int) {
	for _, ms := range m.meshes {
		n += len(ms.Triangle)
	}
	return n
}

// wide lists the pairs whose bracket is wider than accuracy, and gives the
// widest, relative.
func (c *Contacts) wide(pairs [][2]int, accuracy float64) (out [][2]int, widest float64) {
	for _, p := range pairs {
		b, err := c.Resistance(p[0], p[1])
		if width := b.High - b.Low; err == nil && width > 2*accuracy*b.Ohms {
			out = append(out, p)
			widest = max(widest, width/b.Ohms)
		}
	}
	return out, widest
}

// aimShare is the share of the allowed brackets that refinement aims at: corners
// converge more slowly than it reckons with.
const aimShare = 0.6

// mostHalvings is how often one round of refinement halves an edge at most.
const mostHalvings = 3

// refinement asks for shorter edges in the triangles that hold most of the
// pairs' brackets: by the hypercircle identity of Prager and Synge,
// R_high - R_low = sum of sigma |grad u_nodal - grad u_edge|^2 A, and a
// triangle's term falls fourfold with half the edge. The largest terms are
// halved, some of them again, until the sum would be what accuracy allows.
func (c *Contacts) refinement(pairs [][2]int, accuracy float64) ([]SheetSize, error) {
	share := make([][]float64, len(c.model.meshes))
	for i, ms := range c.model.meshes {
		share[i] = make([]float64, len(ms.Triangle))
	}
	for _, p := range pairs {
		if err := c.addGap(share, p); err != nil {
			return nil, err
		}
	}
	allowed := aimShare * float64(len(pairs)) * 2 * max(accuracy-leastBracket, accuracy/4)
	allowed /= shareAt(2 * accuracy)
	least := threshold(share, allowed)
	var sizes []SheetSize
	for i, gaps := range share {
		for t, g := range gaps {
			if n := halvings(g, least); n > 0 {
				size := halvedSize(c.model.meshes[i], t, n)
				sizes = append(sizes, SheetSize{Layer: c.model.Group.Sheets[i].Layer, Size: size})
			}
		}
	}
	return sizes, nil
}

// halvings is how often a triangle's edge is halved so that its term falls
// below the threshold.
func halvings(gap, least float64) int {
	n := 0
	for ; gap > least && n < mostHalvings; n++ {
		gap /= 8 // for each of the four parts: a sixteenth on smooth ground, less at a corner
	}
	return n
}

// threshold finds the largest term that may stay, so that the sum of all
// terms, refined down to it, is what is allowed. It lies below the largest
// term at least, so that every round refines something.
func threshold(share [][]float64, allowed float64) float64 {
	var most float64
	for _, gaps := range share {
		for _, g := range gaps {
			most = max(most, g)
		}
	}
	high, low := most, most*1e-9
	for range 40 {
		middle := math.Sqrt(high * low)
		var sum float64
		for _, gaps := range share {
			for _, g := range gaps {
				sum += g / math.Pow(4, float64(halvings(g, middle)))
			}
		}
		if sum > allowed {
			high = middle
		} else {
			low = middle
		}
	}
	return min(low, most/1.001)
}

// halvedSize asks for a triangle's edge length to be halved n times within it.
func halvedSize(ms *mesh.Mesh, t, n int) mesh.Size {
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
	return mesh.Size{At: at, Radius: e / 2, Edge: max(e>>n, finestEdge)}
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
		for t := range ms.Triangle {
			ax, ay, area := nodal.gradient(ms, i, t, u[0])
			bx, by, _ := edge.gradient(ms, i, t, u[1])
			share[i][t] += sigma * ((ax-bx)*(ax-bx) + (ay-by)*(ay-by)) * area / ohms
		}
	}
	return nil
}

// potential is the whole solution in a space for unit current from one
// contact of a pair to the other, both equipotential, and their resistance.
func (f *contactSpace) potential(c *Contacts, pair [2]int) (u []float64, ohms float64, err error) {
	arcs, g, owner, err := f.gather(c, pair[:])
	if err != nil {
		return nil, 0, err
	}
	current, err := currents(g, owner, []float64{1, -1})
	if err != nil {
		return nil, 0, err
	}
	u, ohms = f.driven(arcs, current)
	return u, ohms, f.space.factor.Err()
}

// driven is the potential for currents into arcs, and the power.
func (f *contactSpace) driven(arcs []arc, current []float64) (u []float64, watts float64) {
	u = make([]float64, len(f.space.x))
	for a, arc := range arcs {
		for k, i := range arc.Index {
			u[i] += current[a] * arc.Value[k]
		}
	}
	rhs := slices.Clone(u)
	f.space.factor.Solve(u)
	for i, v := range rhs {
		watts += v * u[i]
	}
	return u, watts
}
