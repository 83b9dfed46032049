package conduct

import (
	"math"

	"ohmward/geom"
	"ohmward/internal/mesh"
)

// DensityMap is the current density on one layer as a smooth surface over the
// vertices of its mesh, in amperes per metre of width at 1 A.
type DensityMap struct {
	Layer int     // 0-based
	Most  float64 // the greatest density, amperes per metre of width at 1 A
	mesh  *mesh.Mesh
	value []float64
}

// Maps gives the density of every sheet.
func (f *Flow) Maps() []DensityMap {
	var out []DensityMap
	for i, ms := range f.model.meshes {
		out = append(out, newDensityMap(f.Sheets[i], ms))
	}
	return out
}

// newDensityMap gives each vertex the mean of its triangles, weighed by area.
func newDensityMap(s SheetFlow, ms *mesh.Mesh) DensityMap {
	d := DensityMap{Layer: s.Layer, mesh: ms, value: make([]float64, len(ms.X))}
	weight := make([]float64, len(ms.X))
	for t, tri := range ms.Triangle {
		a, b, c := tri[0], tri[1], tri[2]
		area := (ms.X[b]-ms.X[a])*(ms.Y[c]-ms.Y[a]) - (ms.X[c]-ms.X[a])*(ms.Y[b]-ms.Y[a])
		size := math.Hypot(s.density[t][0], s.density[t][1])
		for _, v := range tri {
			d.value[v] += size * area
			weight[v] += area
		}
	}
	for v, w := range weight {
		if w > 0 {
			d.value[v] /= w
		}
		d.Most = max(d.Most, d.value[v])
	}
	return d
}

// node is a corner of a contour: a vertex (a = b) or the crossing of an edge.
type node struct{ a, b int32 }

// Above outlines where the density is at least a level: outer rings run
// counter-clockwise, holes clockwise.
func (d DensityMap) Above(level float64) []geom.Ring {
	open := map[[2]node]bool{}
	var order [][2]node
	for _, tri := range d.mesh.Triangle {
		corners := d.clip(tri, level)
		for i, p := range corners {
			q := corners[(i+1)%len(corners)]
			if open[[2]node{q, p}] {
				delete(open, [2]node{q, p})
				continue
			}
			open[[2]node{p, q}] = true
			order = append(order, [2]node{p, q})
		}
	}
	next := map[node][]node{}
	for _, e := range order {
		if open[e] {
			next[e[0]] = append(next[e[0]], e[1])
		}
	}
	var rings []geom.Ring
	for _, e := range order {
		var ring geom.Ring
		for at := e[0]; len(next[at]) > 0; {
			ring = append(ring, d.place(at, level))
			to := next[at][0]
			next[at] = next[at][1:]
			at = to
		}
		if len(ring) > 2 {
			rings = append(rings, ring)
		}
	}
	return rings
}

// clip gives the corners of the part of a triangle that lies above a level.
func (d DensityMap) clip(tri [3]int32, level float64) (corners []node) {
	for k, a := range tri {
		b := tri[(k+1)%3]
		inA, inB := d.value[a] >= level, d.value[b] >= level
		if inA {
			corners = append(corners, node{a, a})
		}
		if inA != inB {
			corners = append(corners, node{min(a, b), max(a, b)})
		}
	}
	return corners
}

func (d DensityMap) place(n node, level float64) geom.Point {
	x, y := d.mesh.X[n.a], d.mesh.Y[n.a]
	if n.a != n.b {
		share := (level - d.value[n.a]) / (d.value[n.b] - d.value[n.a])
		x += share * (d.mesh.X[n.b] - x)
		y += share * (d.mesh.Y[n.b] - y)
	}
	return geom.FromMM(x*1e3, y*1e3)
}
