package conduct

import (
	"context"
	"fmt"

	"ohmward/internal/mesh"
	"ohmward/internal/parallel"
	"ohmward/internal/sparse"
	"ohmward/internal/unionfind"
)

// space is one discretisation of a group: which unknown each local degree of
// freedom of each triangle is, and the factored matrix.
//
// Local degree k of a triangle is its vertex k in the nodal space and the
// edge opposite vertex k in the edge space. In both, a plated hole's rim on a
// layer is one unknown.
type space struct {
	onEdges   bool
	dof       [][][3]int32     // per sheet, per triangle
	rim       [][]int32        // per barrel, per layer of its span
	x, y      []float64        // plan place of each unknown, metres
	component []int32          // per unknown: which connected piece
	scale     float64          // conductance of the grounding resistors
	held      map[int32]bool   // unknowns of rims, low-ohm parts and grounding resistors
	pattern   *sparse.Symbolic // of another space of the same mesh; nil: analyse
	matrix    *sparse.Matrix
	factor    *sparse.Factor
}

// solveSpaces lays out, assembles and factors the space or both spaces.
func (m *Model) solveSpaces(ctx context.Context, both bool) error {
	m.nodal = m.layOut(false, nil)
	spaces := []*space{m.nodal}
	if both {
		m.edge = m.layOut(true, m.nodal)
		spaces = append(spaces, m.edge)
	}
	return parallel.Try(ctx, len(spaces), func(i int) error { return spaces[i].factorise(m) })
}

// layOut numbers the unknowns. Corners of triangles that meet around a vertex
// through shared edges are one nodal unknown: copper that touches itself in a
// point does not conduct there. In the edge space the rims that the nodal
// space joined (overlapping holes) are joined too.
func (m *Model) layOut(onEdges bool, nodal *space) *space {
	first := make([]int, len(m.meshes)+1)
	for i, ms := range m.meshes {
		first[i+1] = first[i] + 3*len(ms.Triangle)
	}
	rims, rimFirst := m.rimElements(first[len(m.meshes)])
	sets := unionfind.New(rims)
	for i, ms := range m.meshes {
		m.joinSheet(sets, i, ms, first[i], rimFirst, onEdges)
	}
	if nodal != nil {
		joinLikeNodal(sets, nodal, rimFirst)
	}
	return m.number(sets, onEdges, first, rimFirst)
}

// rimElements numbers rims behind n corners: the total, and the first of each
// barrel.
func (m *Model) rimElements(n int) (total int, first []int) {
	first = make([]int, len(m.Group.Barrels))
	for i, b := range m.Group.Barrels {
		first[i] = n
		n += b.LastLayer - b.FirstLayer + 1
	}
	return n, first
}

// joinSheet unites the local degrees of one sheet's triangles that are one
// unknown.
func (m *Model) joinSheet(sets unionfind.Sets, sheet int, ms *mesh.Mesh, first int, rimFirst []int,
	onEdges bool) {
	layer := m.Group.Sheets[sheet].Layer
	for t, nb := range ms.Neighbour {
		for k := range 3 {
			a, b := (k+1)%3, (k+2)%3
			if n := int(nb[k]); n >= 0 {
				back := backEdge(ms.Neighbour[n], t, ms.Triangle[n], ms.Triangle[t][a])
				if onEdges {
					sets.Join(first+3*t+k, first+3*n+back)
				} else {
					// Across the edge the corners are in the opposite order.
					sets.Join(first+3*t+a, first+3*n+(back+2)%3)
					sets.Join(first+3*t+b, first+3*n+(back+1)%3)
				}
				continue
			}
			va, vb := ms.Triangle[t][a], ms.Triangle[t][b]
			hole := m.rims.bordered(layer, ms.X[va]*1e9, ms.Y[va]*1e9, ms.X[vb]*1e9, ms.Y[vb]*1e9)
			if hole < 0 {
				continue
			}
			rim := rimFirst[hole] + layer - m.Group.Barrels[hole].FirstLayer
			if onEdges {
				sets.Join(rim, first+3*t+k)
			} else {
				sets.Join(rim, first+3*t+a)
				sets.Join(rim, first+3*t+b)
			}
		}
	}
}

// backEdge finds which edge of the neighbour leads back to triangle t: the
// one whose second corner after it is vertex a of the shared edge.
func backEdge(nb [3]int32, t int, tri [3]int32, a int32) int {
	for k := range 3 {
		if int(nb[k]) == t && tri[(k+2)%3] == a {
			return k
		}
	}
	panic(fmt.Sprintf("triangle %d is no neighbour of its neighbour", t))
}

func joinLikeNodal(sets unionfind.Sets, nodal *space, rimFirst []int) {
	seen := map[int32]int{}
	for b, rims := range nodal.rim {
		for l, u := range rims {
			e := rimFirst[b] + l
			if other, ok := seen[u]; ok {
				sets.Join(other, e)
			} else {
				seen[u] = e
			}
		}
	}
}

// number gives every class of local degrees its unknown and its place.
func (m *Model) number(sets unionfind.Sets, onEdges bool, first, rimFirst []int) *space {
	s := &space{onEdges: onEdges}
	number := make([]int32, len(sets))
	for i := range number {
		number[i] = -1
	}
	give := func(element int, x, y float64) int32 {
		root := sets.Find(element)
		if number[root] < 0 {
			number[root] = int32(len(s.x))
			s.x, s.y = append(s.x, x), append(s.y, y)
		}
		return number[root]
	}
	for b, barrel := range m.Group.Barrels {
		x, y := barrel.At.MM()
		rims := make([]int32, barrel.LastLayer-barrel.FirstLayer+1)
		for l := range rims {
			rims[l] = give(rimFirst[b]+l, x*1e-3, y*1e-3)
		}
		s.rim = append(s.rim, rims)
	}
	for i, ms := range m.meshes {
		dof := make([][3]int32, len(ms.Triangle))
		for t, tri := range ms.Triangle {
			for k := range 3 {
				x, y := ms.X[tri[k]], ms.Y[tri[k]]
				if onEdges {
					a, b := tri[(k+1)%3], tri[(k+2)%3]
					x, y = (ms.X[a]+ms.X[b])/2, (ms.Y[a]+ms.Y[b])/2
				}
				dof[t][k] = give(first[i]+3*t+k, x, y)
			}
		}
		s.dof = append(s.dof, dof)
	}
	return s
}
