package conduct

import (
	"cmp"
	"math"
	"slices"

	"ohmward/internal/sparse"
	"ohmward/internal/unionfind"
)

// jumpShare makes of the jump of the gradient across an edge, squared and times
// the edge's length squared, the energy of the error beside it (Kelly, Gago,
// Zienkiewicz and Babuška, Int. J. Numer. Meth. Engng 19 (1983) 1593, from memory).
const jumpShare = 1.0 / 24

// errsIn estimates by how much, in squares, each of some triangles errs for
// unit current from a contact to any one of the ways out of them (see outlets):
// from the jumps of the potential's gradient across edges. It gives nil where
// there is no way out, and where the potentials cannot be had.
func (m *Model) errsIn(sheet int, discs []Disc, list []int) map[int]float64 {
	in := map[int]bool{}
	for _, t := range list {
		in[t] = true
	}
	outlets := m.outlets(sheet, discs, list, in)
	if len(outlets) == 0 {
		return nil
	}
	number, x, y := m.freeIn(sheet, discs, list)
	if len(x) == 0 {
		return nil
	}
	ms, dof := m.meshes[sheet], m.nodal.dof[sheet]
	b := sparse.NewBuilder(len(x))
	for _, t := range list {
		c := conductances(ms.X, ms.Y, ms.Triangle[t], 1)
		for k := range 3 {
			i, iFree := number[dof[t][k]]
			j, jFree := number[dof[t][(k+1)%3]]
			switch {
			case iFree && jFree && i != j:
				addResistor(b, i, j, c[k])
			case iFree && !jFree:
				b.Add(int(i), int(i), c[k])
			case jFree && !iFree:
				b.Add(int(j), int(j), c[k])
			}
		}
	}
	f, err := sparse.Factorise(b.Build(), x, y)
	if err != nil {
		return nil
	}
	e := m.newJumps(sheet, list, number)
	for _, outlet := range outlets {
		u := make([]float64, len(x)+1) // the last one: the contact's
		for dof, share := range outlet {
			if i, free := number[dof]; free {
				u[i] += share
			}
		}
		f.Solve(u[:len(x)])
		e.add(u)
	}
	if f.Err() != nil {
		return nil
	}
	out := map[int]float64{}
	for i, t := range list {
		out[t] = e.most[i]
	}
	return out
}

// freeIn numbers the unknowns of some triangles, but for those under a contact.
func (m *Model) freeIn(sheet int, discs []Disc, list []int) (number map[int32]int32, x, y []float64) {
	ms, dof := m.meshes[sheet], m.nodal.dof[sheet]
	held := map[int32]bool{}
	for _, d := range discs {
		for _, t := range ms.Near(float64(d.At.X)*1e-9, float64(d.At.Y)*1e-9, float64(d.Diameter)/2*1e-9) {
			for k, v := range ms.Triangle[t] {
				if t == list[0] || d.away(ms, v) <= float64(d.Diameter)/2*1e-9 {
					held[dof[t][k]] = true
				}
			}
		}
	}
	number = map[int32]int32{}
	for _, t := range list {
		for k, u := range dof[t] {
			if _, known := number[u]; known || held[u] {
				continue
			}
			number[u] = int32(len(x))
			x, y = append(x, ms.X[ms.Triangle[t][k]]), append(y, ms.Y[ms.Triangle[t][k]])
		}
	}
	return number, x, y
}

// mostOutlets bounds the plated holes and the like that are taken one by one.
const mostOutlets = 8

// outlets lists the ways by which current can leave some triangles, each as
// shares of unit current by unknown: the stretches where the mesh goes on, and
// the nearest of the unknowns that carry it elsewhere, such as plated holes.
func (m *Model) outlets(sheet int, discs []Disc, list []int, in map[int]bool) (out []map[int32]float64) {
	ms, dof, gone := m.meshes[sheet], m.nodal.dof[sheet], m.goneOf(sheet)
	type cutEdge struct {
		u, v   int32
		length float64
	}
	var cuts []cutEdge
	stretch := map[int32]int{}
	away := map[int32]float64{}
	for _, t := range list {
		for k := range 3 {
			v := ms.Triangle[t][k]
			if u := dof[t][k]; m.nodal.held[u] {
				for _, d := range discs {
					if old, known := away[u]; !known || d.away(ms, v) < old {
						away[u] = d.away(ms, v)
					}
				}
			}
			if n := int(ms.Neighbour[t][k]); n >= 0 && !in[n] && !gone[n] {
				a, b := (k+1)%3, (k+2)%3
				va, vb := ms.Triangle[t][a], ms.Triangle[t][b]
				cuts = append(cuts, cutEdge{dof[t][a], dof[t][b], math.Hypot(ms.X[vb]-ms.X[va], ms.Y[vb]-ms.Y[va])})
				for _, u := range []int32{dof[t][a], dof[t][b]} {
					if _, known := stretch[u]; !known {
						stretch[u] = len(stretch)
					}
				}
			}
		}
	}
	sets := unionfind.New(len(stretch))
	for _, c := range cuts {
		sets.Join(stretch[c.u], stretch[c.v])
	}
	at, total := map[int]int{}, []float64{}
	for _, c := range cuts {
		root := sets.Find(stretch[c.u])
		if _, known := at[root]; !known {
			at[root] = len(out)
			out, total = append(out, map[int32]float64{}), append(total, 0)
		}
		i := at[root]
		out[i][c.u] += c.length / 2
		out[i][c.v] += c.length / 2
		total[i] += c.length
	}
	for i := range out {
		for u := range out[i] {
			out[i][u] /= total[i]
		}
	}
	held := make([]int32, 0, len(away))
	for u := range away {
		held = append(held, u)
	}
	slices.SortFunc(held, func(a, b int32) int {
		return cmp.Or(cmp.Compare(away[a], away[b]), cmp.Compare(a, b))
	})
	for _, u := range held[:min(len(held), mostOutlets)] {
		out = append(out, map[int32]float64{u: 1})
	}
	return out
}

// jumps adds up, triangle by triangle, the energy of the error.
type jumps struct {
	corner    [][3]int32      // unknowns
	slope     [][3][2]float64 // gradient of each corner's shape function
	neighbour [][3]int32      // of each edge: the triangle's place among them, or edgeFree or edgeHeld
	normal    [][3][2]float64 // of each edge, with its length
	gradient  [][2]float64
	most      []float64 // the most that any potential errs by
}

const (
	edgeFree = -1 // the copper ends there
	edgeHeld = -2 // the mesh goes on, or a hole's rim
)

func (m *Model) newJumps(sheet int, list []int, number map[int32]int32) *jumps {
	ms, dof, gone := m.meshes[sheet], m.nodal.dof[sheet], m.goneOf(sheet)
	place := map[int]int32{}
	for i, t := range list {
		place[t] = int32(i)
	}
	n := len(list)
	e := &jumps{make([][3]int32, n), make([][3][2]float64, n), make([][3]int32, n), make([][3][2]float64, n), make([][2]float64, n), make([]float64, n)}
	for i, t := range list {
		tri := ms.Triangle[t]
		area := ((ms.X[tri[1]]-ms.X[tri[0]])*(ms.Y[tri[2]]-ms.Y[tri[0]]) - (ms.X[tri[2]]-ms.X[tri[0]])*(ms.Y[tri[1]]-ms.Y[tri[0]])) / 2
		for k := range 3 {
			a, b := (k+1)%3, (k+2)%3
			nx, ny := ms.Y[tri[b]]-ms.Y[tri[a]], ms.X[tri[a]]-ms.X[tri[b]]
			e.normal[i][k] = [2]float64{nx, ny}
			e.slope[i][k] = [2]float64{-nx / (2 * area), -ny / (2 * area)}
			e.corner[i][k] = int32(len(number))
			if u, free := number[dof[t][k]]; free {
				e.corner[i][k] = u
			}
			e.neighbour[i][k] = edgeFree
			if n := int(ms.Neighbour[t][k]); n >= 0 && !gone[n] {
				e.neighbour[i][k] = edgeHeld
				if at, in := place[n]; in {
					e.neighbour[i][k] = at
				}
			} else if dof[t][a] == dof[t][b] {
				e.neighbour[i][k] = edgeHeld
			}
		}
	}
	return e
}

// add takes in what the potentials of the unknowns err by.
func (e *jumps) add(u []float64) {
	for i := range e.corner {
		var g [2]float64
		for k, c := range e.corner[i] {
			g[0] += u[c] * e.slope[i][k][0]
			g[1] += u[c] * e.slope[i][k][1]
		}
		e.gradient[i] = g
	}
	for i, g := range e.gradient {
		var sum float64
		for k, n := range e.neighbour[i] {
			normal := e.normal[i][k]
			jump := g[0]*normal[0] + g[1]*normal[1]
			switch {
			case n >= 0:
				h := e.gradient[n]
				jump -= h[0]*normal[0] + h[1]*normal[1]
				sum += jump * jump / 2
			case n == edgeFree:
				sum += jump * jump
			}
		}
		e.most[i] = max(e.most[i], jumpShare*sum)
	}
}
