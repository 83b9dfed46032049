package conduct

import "ohmward/internal/mesh"

// cornerGrid finds the triangles with a corner in a box.
type cornerGrid struct {
	mesh  *mesh.Mesh
	cells map[[2]int32][]int32
}

// cornerCell is the grid's cell in metres: about a contact's diameter.
const cornerCell = 0.3e-3

func newCornerGrid(ms *mesh.Mesh) *cornerGrid {
	g := &cornerGrid{ms, map[[2]int32][]int32{}}
	for t, tri := range ms.Triangle {
		var seen [3][2]int32
		for k, v := range tri {
			seen[k] = g.cell(ms.X[v], ms.Y[v])
			if k > 0 && seen[k] == seen[0] || k == 2 && seen[2] == seen[1] {
				continue
			}
			g.cells[seen[k]] = append(g.cells[seen[k]], int32(t))
		}
	}
	return g
}

func (g *cornerGrid) cell(x, y float64) [2]int32 {
	return [2]int32{floorInt(x / cornerCell), floorInt(y / cornerCell)}
}

func floorInt(v float64) int32 {
	i := int32(v)
	if float64(i) > v {
		i--
	}
	return i
}

// around lists, ascending and once each, the triangles that have a corner in
// or near the box around (x,y) with half side r (metres).
func (g *cornerGrid) around(x, y, r float64) []int32 {
	lo, hi := g.cell(x-r, y-r), g.cell(x+r, y+r)
	var out []int32
	for i := lo[0]; i <= hi[0]; i++ {
		for j := lo[1]; j <= hi[1]; j++ {
			out = append(out, g.cells[[2]int32{i, j}]...)
		}
	}
	return sortedOnce(out)
}
