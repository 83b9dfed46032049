package conduct

import "ohmward/internal/mesh"

// quadMesh is a sheet of one siemens per square in quadratic elements: its
// nodes are the mesh's vertices, then the middles of its edges.
type quadMesh struct {
	x, y     []float64
	resistor []resistor
	middle   map[[2]int32]int32 // by the edge's vertices, the lower first
}

// resistor joins two nodes; its conductance may be negative.
type resistor struct {
	a, b    int32
	siemens float64
}

// newQuadMesh builds the elements. With w_ij the conductances of a linear
// triangle, the quadratic one has -w_ij/3 between corners, 4 w_ij/3 between a
// corner and the middle of an edge of it, and 8 w_ij/3 between the middles of
// the two edges that are not i-j (the integrals of products of the shape
// functions' gradients).
func newQuadMesh(ms *mesh.Mesh) *quadMesh {
	q := &quadMesh{
		x: append([]float64(nil), ms.X...), y: append([]float64(nil), ms.Y...),
		middle: map[[2]int32]int32{},
	}
	for _, tri := range ms.Triangle {
		w := conductances(ms.X, ms.Y, tri, 1)
		var mid [3]int32
		for k := range 3 {
			mid[k] = q.between(tri[k], tri[(k+1)%3])
		}
		for k := range 3 {
			i, j := tri[k], tri[(k+1)%3]
			q.resistor = append(q.resistor,
				resistor{i, j, -w[k] / 3},
				resistor{i, mid[k], 4 * w[k] / 3}, resistor{j, mid[k], 4 * w[k] / 3},
				resistor{mid[(k+1)%3], mid[(k+2)%3], 8 * w[k] / 3})
		}
	}
	return q
}

// between gives the node in the middle of an edge.
func (q *quadMesh) between(a, b int32) int32 {
	key := [2]int32{min(a, b), max(a, b)}
	n, ok := q.middle[key]
	if !ok {
		n = int32(len(q.x))
		q.middle[key] = n
		q.x, q.y = append(q.x, (q.x[a]+q.x[b])/2), append(q.y, (q.y[a]+q.y[b])/2)
	}
	return n
}
