package conduct

import (
	"fmt"
	"math"

	"ohmward/geom"
	"ohmward/internal/sparse"
)

// mostNodes bounds the mesh points of a spot: more is no spot.
const mostNodes = 3000

// Within gives, site by site, the part of a reading in ohms that arises in
// the copper of one layer within a radius (metres) of a point: what a
// relative change of the resistivity there changes the reading by, to first
// order. By reciprocity it is the integral of sigma grad(phi_I).grad(phi_V)
// over the spot, phi_I the potential of the reading's current and phi_V that
// of unit current sent in at its volt contacts. All contacts are as the mesh
// has them. Sites that the contacts do not reach get zero, and so do those not
// among sites (nil: all are).
func (b *Bridge) Within(r Reading, layer int, at geom.Point, radius float64, sites []int) ([]float64, error) {
	out := make([]float64, len(b.Sites[0].Discs))
	if sites == nil {
		for i := range out {
			sites = append(sites, i)
		}
	}
	for g, m := range b.Models {
		p, err := b.part(r, g, (*Model).prepareUnrefined)
		if err != nil {
			return nil, err
		}
		if p == nil {
			continue
		}
		s := m.spot(layer, at, radius)
		switch {
		case len(s.nodes) == 0:
		case len(s.nodes) > mostNodes:
			return nil, fmt.Errorf("a spot of %.3g mm takes in %d mesh points, more than %d: name a smaller "+
				"one", 2e3*radius, len(s.nodes), mostNodes)
		default:
			p.within(m, s, sites, out)
		}
	}
	return out, nil
}

// spot is the triangles of one layer near a point, by node, with each one's
// conductances.
type spot struct {
	nodes    []sparse.Vector
	triangle [][3]int     // into nodes
	k        [][3]float64 // sigma/(4A) e_k.e_l for the pairs (0,1), (1,2), (2,0)
}

func (m *Model) spot(layer int, at geom.Point, radius float64) spot {
	var out spot
	index := map[int32]int{}
	x, y := float64(at.X)*1e-9, float64(at.Y)*1e-9
	for i, sheet := range m.Group.Sheets {
		if sheet.Layer != layer {
			continue
		}
		ms := m.meshes[i]
		for t, tri := range ms.Triangle {
			cx := (ms.X[tri[0]] + ms.X[tri[1]] + ms.X[tri[2]]) / 3
			cy := (ms.Y[tri[0]] + ms.Y[tri[1]] + ms.Y[tri[2]]) / 3
			if math.Hypot(cx-x, cy-y) > radius || m.goneOf(i)[t] {
				continue
			}
			var corner [3]int
			for k, u := range m.nodal.dof[i][t] {
				n, known := index[u]
				if !known {
					n = len(out.nodes)
					index[u] = n
					out.nodes = append(out.nodes, unitArc(u))
				}
				corner[k] = n
			}
			out.triangle = append(out.triangle, corner)
			out.k = append(out.k, conductances(ms.X, ms.Y, tri, sheet.Conductance))
		}
	}
	return out
}

// conductances are a triangle's resistors between its corners 0-1, 1-2, 2-0.
func conductances(x, y []float64, tri [3]int32, sigma float64) (c [3]float64) {
	ex, ey, twice := edgesOf(x, y, tri)
	area := twice / 2
	for k := range 3 {
		l := (k + 1) % 3
		c[k] = -sigma * (ex[k]*ex[l] + ey[k]*ey[l]) / (4 * area)
	}
	return c
}

// edgesOf gives a triangle's edges, each opposite its corner, and twice its area.
func edgesOf(x, y []float64, tri [3]int32) (ex, ey [3]float64, twice float64) {
	for k := range 3 {
		p, q := tri[(k+1)%3], tri[(k+2)%3]
		ex[k], ey[k] = x[q]-x[p], y[q]-y[p]
	}
	return ex, ey, ex[0]*ey[1] - ex[1]*ey[0]
}

// dot is the integral of sigma grad(a).grad(b) over triangle t.
func (s spot) dot(t int, a, b []float64) float64 {
	var sum float64
	for k := range 3 {
		i, j := s.triangle[t][k], s.triangle[t][(k+1)%3]
		sum += s.k[t][k] * (a[i] - a[j]) * (b[i] - b[j])
	}
	return sum
}

// within adds the spot's part of the reading at the sites.
func (p *part) within(m *Model, s spot, sites []int, out []float64) {
	paths := m.nodal.factor.ForwardMany(s.nodes)
	probes, balanced := p.probes.balanced().paths, p.sites.balanced().paths
	asked := make([]sparse.Path, len(sites))
	for k, site := range sites {
		asked[k] = balanced[site]
	}
	fromProbes := sparse.Gram(probes, paths)
	fromSites := sparse.Gram(asked, paths)
	n := len(probes)
	width := len(paths)
	current, volts := make([]float64, width), make([]float64, width)
	for c := range probes {
		for k, v := range fromProbes[c*width : (c+1)*width] {
			current[k] += p.current[c] * v
			volts[k] += p.volts[c] * v
		}
	}
	i, v := make([]float64, width), make([]float64, width)
	for row, site := range sites {
		if !p.reaches(site) {
			continue
		}
		for k, u := range fromSites[row*width : (row+1)*width] {
			i[k] = current[k] + p.current[n]*u
			v[k] = volts[k] + p.volts[n]*u
		}
		for t := range s.triangle {
			out[site] += s.dot(t, i, v)
		}
	}
}

// reaches tells whether all contacts stand on the site's piece of copper.
func (p *part) reaches(site int) bool {
	for c := range p.probes.Discs {
		if p.probes.component(c) != p.sites.component(site) {
			return false
		}
	}
	return true
}
