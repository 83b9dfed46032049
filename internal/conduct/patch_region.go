package conduct

import (
	"math"

	"ohmward/geom"
	"ohmward/internal/mesh"
)

// seam is an edge of the outline of some triangles, copper on its left.
type seam struct {
	p, q geom.Point
	u, v int32 // the nodal unknowns at its ends
	held bool  // on it the rest of the mesh, or a plated hole's rim, is met
}

// cutting is the outline of some triangles of a sheet as a region for the
// mesher, with the seams that its rings are made of.
type cutting struct {
	region geom.Region
	seams  [][][]seam // by polygon, by ring: the outer one first
}

// cutOut finds the outline of a set of triangles. Where they touch in a point
// the rings stay apart, as the copper's unknowns do.
func (m *Model) cutOut(sheet int, taken map[int]bool) cutting {
	ms := m.meshes[sheet]
	list := sorted(taken)
	piece := pieces(ms, list, taken)
	var out cutting
	number := map[int]int{}
	done := map[halfEdge]bool{}
	var holes [][]seam
	var holeOf []int
	for _, t := range list {
		for k := range 3 {
			start := halfEdge{t, k}
			if done[start] || inside(ms, start, taken) {
				continue
			}
			ring := m.walk(sheet, start, taken, done)
			if doubleArea(ring) > 0 {
				number[piece[t]] = len(out.seams)
				out.seams = append(out.seams, [][]seam{ring})
			} else {
				holes, holeOf = append(holes, ring), append(holeOf, piece[t])
			}
		}
	}
	for i, ring := range holes {
		if n, ok := number[holeOf[i]]; ok {
			out.seams[n] = append(out.seams[n], ring)
		}
	}
	for _, rings := range out.seams {
		var poly geom.Polygon
		for i, ring := range rings {
			points := make(geom.Ring, len(ring))
			for k, s := range ring {
				points[k] = s.p
			}
			if i == 0 {
				poly.Outer = points
			} else {
				poly.Holes = append(poly.Holes, points)
			}
		}
		out.region = append(out.region, poly)
	}
	return out
}

// pieces names for each triangle the connected piece of the set it is in.
func pieces(ms *mesh.Mesh, list []int, taken map[int]bool) map[int]int {
	piece := map[int]int{}
	for _, first := range list {
		if _, known := piece[first]; known {
			continue
		}
		piece[first] = first
		for front := []int{first}; len(front) > 0; {
			t := front[len(front)-1]
			front = front[:len(front)-1]
			for _, n := range ms.Neighbour[t] {
				if _, known := piece[int(n)]; n >= 0 && taken[int(n)] && !known {
					piece[int(n)] = first
					front = append(front, int(n))
				}
			}
		}
	}
	return piece
}

// inside tells whether the triangles go on across an edge.
func inside(ms *mesh.Mesh, e halfEdge, taken map[int]bool) bool {
	n := int(ms.Neighbour[e.triangle][e.corner])
	return n >= 0 && taken[n]
}

// walk goes round the outline from one edge on, marking its edges as done.
func (m *Model) walk(sheet int, start halfEdge, taken map[int]bool, done map[halfEdge]bool) []seam {
	ms, dof, layer := m.meshes[sheet], m.nodal.dof[sheet], m.Group.Sheets[sheet].Layer
	var ring []seam
	for e := start; !done[e]; {
		done[e] = true
		t, a, b := e.triangle, (e.corner+1)%3, (e.corner+2)%3
		va, vb := ms.Triangle[t][a], ms.Triangle[t][b]
		s := seam{p: nanometres(ms, va), q: nanometres(ms, vb), u: dof[t][a], v: dof[t][b]}
		n := int(ms.Neighbour[t][e.corner])
		s.held = n >= 0 && !m.goneOf(sheet)[n] ||
			m.rims.bordered(layer, ms.X[va]*1e9, ms.Y[va]*1e9, ms.X[vb]*1e9, ms.Y[vb]*1e9) >= 0
		ring = append(ring, s)
		// On round the end, from triangle to triangle, to the next edge.
		for e = (halfEdge{t, a}); inside(ms, e, taken); {
			t, n := e.triangle, int(ms.Neighbour[e.triangle][e.corner])
			back := backEdge(ms.Neighbour[n], t, ms.Triangle[n], ms.Triangle[t][(e.corner+1)%3])
			e = halfEdge{n, (back + 1) % 3}
		}
	}
	return ring
}

func nanometres(ms *mesh.Mesh, v int32) geom.Point {
	return geom.Point{X: int64(math.Round(ms.X[v] * 1e9)), Y: int64(math.Round(ms.Y[v] * 1e9))}
}

// doubleArea is positive for a ring with its copper inside.
func doubleArea(ring []seam) float64 {
	var sum float64
	for _, s := range ring {
		px, py := float64(s.p.X-ring[0].p.X), float64(s.p.Y-ring[0].p.Y)
		qx, qy := float64(s.q.X-ring[0].p.X), float64(s.q.Y-ring[0].p.Y)
		sum += px*qy - qx*py
	}
	return sum
}

// cornerEdge is the wished edge length, in nanometres, at the copper's inner
// corners within a patch, where the current crowds.
const cornerEdge = 5000

// innerCorner is the sine of the least turn that counts as an inner corner:
// less is a round outline's.
const innerCorner = 0.42

// corners lists the copper's inner corners.
func (c cutting) corners() (out []geom.Point) {
	for _, rings := range c.seams {
		for _, ring := range rings {
			for i, s := range ring {
				before := ring[(i+len(ring)-1)%len(ring)]
				if s.held || before.held {
					continue
				}
				ux, uy := float64(before.q.X-before.p.X), float64(before.q.Y-before.p.Y)
				vx, vy := float64(s.q.X-s.p.X), float64(s.q.Y-s.p.Y)
				if ux*vy-uy*vx < -innerCorner*math.Hypot(ux, uy)*math.Hypot(vx, vy) {
					out = append(out, s.p)
				}
			}
		}
	}
	return out
}
