package conduct

import (
	"math"
	"slices"

	"ohmward/internal/mesh"
)

// A patch takes the triangles under its contact, patchDepth rows around them,
// and those joined to them within patchReach diameters of the contact's middle,
// row by row until it has patchMost.
//
// On the 96 shapes of TestHardContacts and TestFreshContacts what is left is
// 0.008 square or less on coarse meshes, 0.010 on an even one, the error of the
// mesh that the patch does not reach included. A reach of 3 leaves 0.018.
const (
	patchDepth = 3
	patchReach = 4
	patchMost  = 400
)

// removeAround marks the triangles under a contact and around it.
func (m *Model) removeAround(sheet int, removed map[int]bool, d Disc) {
	g := &growth{ms: m.meshes[sheet], gone: m.goneOf(sheet), seen: map[int]bool{}}
	x, y, r := d.metres()
	for _, t := range g.ms.Near(x, y, 1.02*r) {
		if !g.gone[t] && !g.seen[t] {
			g.seen[t] = true
			g.taken = append(g.taken, t)
		}
	}
	front := g.taken
	for row := 0; len(front) > 0 && (row < patchDepth || len(g.taken) < patchMost); row++ {
		from := len(g.taken)
		for _, t := range front {
			g.around(t, func(n int) {
				if row < patchDepth || toTriangle(g.ms, g.ms.Triangle[n], x, y) < patchReach*2*r {
					g.taken = append(g.taken, n)
				}
			})
		}
		front = g.taken[from:]
	}
	g.close(removed)
}

// growth is triangles taken one after another.
type growth struct {
	ms    *mesh.Mesh
	gone  map[int]bool
	seen  map[int]bool
	taken []int
}

// around visits the neighbours of a triangle that were not seen yet.
func (g *growth) around(t int, visit func(n int)) {
	for _, n := range g.ms.Neighbour[t] {
		if n := int(n); n >= 0 && !g.seen[n] && !g.gone[n] {
			g.seen[n] = true
			visit(n)
		}
	}
}

// close takes triangles into notches, two of whose neighbours are taken, so that
// the patch has fewer ports, and all triangles round the inner corners of the
// copper that it has some of: a patch that ends in one cannot be fine there.
func (g *growth) close(has map[int]bool) {
	for _, t := range g.taken {
		has[t] = true
	}
	take := func(list ...int) {
		for _, t := range list {
			if !has[t] {
				has[t] = true
				g.taken = append(g.taken, t)
			}
		}
	}
	for i := 0; i < len(g.taken); i++ {
		t := g.taken[i]
		for k, v := range g.ms.Triangle[t] {
			if n := int(g.ms.Neighbour[t][k]); n >= 0 && !has[n] && !g.gone[n] && g.beside(n, has) > 1 {
				take(n)
			}
			if !g.ms.Outline[v] {
				continue
			}
			if fan, angle := g.fan(t, k); angle > math.Pi+math.Asin(innerCorner) {
				take(fan...)
			}
		}
	}
}

// beside counts a triangle's neighbours that are taken.
func (g *growth) beside(t int, has map[int]bool) (count int) {
	for _, n := range g.ms.Neighbour[t] {
		if n >= 0 && has[int(n)] {
			count++
		}
	}
	return count
}

// fan lists the triangles round a corner of one, across the edges that meet
// there, and the angle that they span.
func (g *growth) fan(t, k int) (fan []int, angle float64) {
	v := g.ms.Triangle[t][k]
	for _, side := range []int{1, 2} {
		for at, corner := t, k; ; {
			if side == 1 || at != t {
				fan = append(fan, at)
				angle += g.angle(at, corner)
			}
			n := int(g.ms.Neighbour[at][(corner+side)%3])
			if n < 0 || g.gone[n] || n == t {
				break
			}
			at, corner = n, slices.Index(g.ms.Triangle[n][:], v)
		}
	}
	return fan, angle
}

// angle is a triangle's at a corner.
func (g *growth) angle(t, k int) float64 {
	tri := g.ms.Triangle[t]
	o, p, q := tri[k], tri[(k+1)%3], tri[(k+2)%3]
	ax, ay := g.ms.X[p]-g.ms.X[o], g.ms.Y[p]-g.ms.Y[o]
	bx, by := g.ms.X[q]-g.ms.X[o], g.ms.Y[q]-g.ms.Y[o]
	return math.Atan2(ax*by-ay*bx, ax*bx+ay*by)
}
