package conduct

import (
	"errors"
	"math"
	"slices"

	"ohmward/geom"
	"ohmward/internal/mesh"
	"ohmward/internal/sparse"
)

var errPatch = errors.New("the copper round a contact cannot be meshed anew")

// finePatch is the copper of a patch in quadratic elements, one siemens per
// square. Its columns are the ports, then the contacts.
type finePatch struct {
	*quadMesh
	mesh   *mesh.Mesh
	shares [][]share // of each node that columns hold
	number []int32   // of each other node, among them
	free   int       // how many these are
	factor *sparse.Factor
	ports  int
	disc   []int       // of each contact: its column
	toward [][]float64 // of each column: the free nodes' potentials for one volt there
	own    []float64   // contact columns among themselves
	load   []float64   // contact columns by ports
	across []float64   // ports among themselves, contacts floating
}

// share says by how much a column sets a node's potential.
type share struct {
	column int
	weight float64
}

// bond is the conductance, over the sheet's, that stands for no resistance: it
// adds a millionth of a square.
const bond = 1e6

// newFinePatch meshes a patch anew and eliminates all but ports and contacts.
func (m *Model) newFinePatch(p *patch, cut cutting) (*finePatch, error) {
	ms := m.meshes[p.sheet]
	in := mesh.Input{Region: cut.region, Grading: 0.5}
	for _, d := range p.discs {
		in.Curves = append(in.Curves, closed(d.rim()))
		in.Sizes = append(in.Sizes, mesh.Size{At: d.At, Radius: d.Diameter / 2, Edge: d.Diameter / patchEdges})
	}
	for _, at := range cut.corners() {
		in.Sizes = append(in.Sizes, mesh.Size{At: at, Edge: cornerEdge})
	}
	fixed := map[int32]geom.Point{} // ports within
	for _, t := range sorted(p.removed) {
		for k, u := range m.nodal.dof[p.sheet][t] {
			if _, ok := p.port(u); ok {
				if v := ms.Triangle[t][k]; !ms.Outline[v] {
					fixed[u] = nanometres(ms, v)
				}
			}
		}
	}
	for _, u := range p.ports {
		if at, ok := fixed[u]; ok {
			in.Curves = append(in.Curves, []geom.Point{at})
		}
	}
	fine, err := mesh.Triangulate(in)
	if err != nil {
		return nil, err
	}
	f := &finePatch{quadMesh: newQuadMesh(fine), mesh: fine, ports: len(p.ports)}
	f.shares = make([][]share, len(f.x))
	bonds := f.constrainContacts(p, m)
	if !f.constrainSeams(p, cut, &bonds) {
		return nil, errPatch
	}
	for u, at := range fixed {
		f.constrainPoint(p, u, at, &bonds)
	}
	return f, f.condense(bonds)
}

// constrainContacts gives every node under a contact to that contact; contacts that
// overlap are one. It lists the plated holes that contacts take along.
func (f *finePatch) constrainContacts(p *patch, m *Model) (bonds [][2]int) {
	f.disc = make([]int, len(p.discs))
	for i, d := range p.discs {
		f.disc[i] = f.ports + i
		rim := d.rim()
		for _, tri := range f.mesh.Triangle {
			x := (f.x[tri[0]] + f.x[tri[1]] + f.x[tri[2]]) / 3
			y := (f.y[tri[0]] + f.y[tri[1]] + f.y[tri[2]]) / 3
			if !within(rim, x*1e9, y*1e9) {
				continue
			}
			for k := range 3 {
				f.constrain(tri[k], f.disc[i], &bonds)
				f.constrain(f.between(tri[k], tri[(k+1)%3]), f.disc[i], &bonds)
			}
		}
		for _, u := range m.rimsOf(m.nodal, d) {
			if at, ok := p.port(u); ok {
				bonds = append(bonds, [2]int{f.disc[i], at})
			}
		}
	}
	return bonds
}

// within tells whether a point lies in a convex ring.
func within(ring geom.Ring, x, y float64) bool {
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		if float64(b.X-a.X)*(y-float64(a.Y))-float64(b.Y-a.Y)*(x-float64(a.X)) < 0 {
			return false
		}
	}
	return true
}

// constrain sets a node to a column's potential; where it has one already, the two
// are bonded.
func (f *finePatch) constrain(node int32, column int, bonds *[][2]int) {
	if have := f.shares[node]; len(have) == 0 {
		f.shares[node] = []share{{column, 1}}
	} else if len(have) == 1 && have[0].column != column {
		f.bonded(have[0].column, column, bonds)
	}
}

func (f *finePatch) bonded(a, b int, bonds *[][2]int) {
	pair := [2]int{min(a, b), max(a, b)}
	if !slices.Contains(*bonds, pair) {
		*bonds = append(*bonds, pair)
	}
}

// constrainSeams sets the nodes on the patch's outline where the rest of the mesh
// holds them. It reports whether no contact reaches a cut.
func (f *finePatch) constrainSeams(p *patch, cut cutting, bonds *[][2]int) bool {
	for e, edge := range f.mesh.Boundary {
		ring := cut.seams[f.mesh.BoundaryRing[e][0]][f.mesh.BoundaryRing[e][1]]
		a, b := edge[0], edge[1]
		s, ok := seamOf(ring, f.x[a], f.y[a], f.x[b], f.y[b])
		if !ok {
			continue
		}
		for _, v := range []int32{a, b, f.between(a, b)} {
			t := s.along(f.x[v], f.y[v])
			u, onU := p.port(s.u)
			w, onV := p.port(s.v)
			switch {
			case t < seamEnd && onU:
				f.constrain(v, u, bonds)
			case t > 1-seamEnd && onV:
				f.constrain(v, w, bonds)
			case s.held && u == w:
				f.constrain(v, u, bonds)
			case s.held && len(f.shares[v]) == 0:
				f.shares[v] = []share{{u, 1 - t}, {w, t}}
			case s.held && len(f.shares[v]) == 1:
				return false
			}
		}
	}
	return true
}

// seamEnd is the part of a seam that counts as its end.
const seamEnd = 1e-4

// seamOf finds the seam that an outline edge of the fine mesh (metres) lies on:
// the nearest of the same direction.
func seamOf(ring []seam, ax, ay, bx, by float64) (best seam, ok bool) {
	least := seamSlack
	for _, s := range ring {
		_, _, dx, dy := s.metres()
		ahead := dx*(bx-ax)+dy*(by-ay) > 0
		if off := s.off(ax, ay) + s.off(bx, by); ahead && off < least {
			least, best, ok = off, s, true
		}
	}
	return best, ok
}

// seamSlack is how far, in metres, an edge of the fine mesh may lie off its
// seam.
const seamSlack = 5e-9

// metres gives where the seam begins and how far it leads.
func (s seam) metres() (px, py, dx, dy float64) {
	px, py = float64(s.p.X)*1e-9, float64(s.p.Y)*1e-9
	return px, py, float64(s.q.X)*1e-9 - px, float64(s.q.Y)*1e-9 - py
}

// along is the fraction of the seam at which a point (metres) lies.
func (s seam) along(x, y float64) float64 {
	px, py, dx, dy := s.metres()
	return min(max(((x-px)*dx+(y-py)*dy)/(dx*dx+dy*dy), 0), 1)
}

// off is a point's distance from the seam, in metres.
func (s seam) off(x, y float64) float64 {
	t := s.along(x, y)
	px, py, dx, dy := s.metres()
	return math.Hypot(x-px-t*dx, y-py-t*dy)
}

// constrainPoint sets the node at a point to a port.
func (f *finePatch) constrainPoint(p *patch, u int32, at geom.Point, bonds *[][2]int) {
	column, _ := p.port(u)
	x, y := float64(at.X)*1e-9, float64(at.Y)*1e-9
	for v := range f.mesh.X {
		if math.Hypot(f.x[v]-x, f.y[v]-y) < seamSlack {
			f.constrain(int32(v), column, bonds)
		}
	}
}

// condense eliminates the free nodes, then the contacts.
func (f *finePatch) condense(bonds [][2]int) error {
	f.number = make([]int32, len(f.x))
	var x, y []float64
	for v := range f.x {
		f.number[v] = -1
		if len(f.shares[v]) == 0 {
			f.number[v] = int32(len(x))
			x, y = append(x, f.x[v]), append(y, f.y[v])
		}
	}
	f.free = len(x)
	columns := f.ports + len(f.disc)
	b := sparse.NewBuilder(len(x))
	k := make([]float64, columns*columns)
	f.toward = make([][]float64, columns)
	for c := range f.toward {
		f.toward[c] = make([]float64, len(x))
	}
	for _, r := range f.resistor {
		f.addResistor(b, k, r)
	}
	for _, pair := range bonds {
		addConductance(k, columns, pair[0], pair[1], bond)
	}
	if len(x) > 0 {
		coupling := make([][]share, columns)
		for c, column := range f.toward {
			for i, v := range column {
				if v != 0 {
					coupling[c] = append(coupling[c], share{i, v})
				}
			}
		}
		var err error
		if f.factor, err = sparse.Factorise(b.Build(), x, y); err != nil {
			return err
		}
		f.factor.SolveMany(f.toward)
		if err := f.factor.Err(); err != nil {
			return err
		}
		for c, nodes := range coupling {
			for d, toward := range f.toward {
				for _, s := range nodes {
					k[c*columns+d] -= s.weight * toward[s.column]
				}
			}
		}
	}
	return f.contacts(k)
}

// addResistor adds one to the matrix of the free nodes, to their coupling to
// the columns (toward: minus the entry), or to the columns' own.
func (f *finePatch) addResistor(b *sparse.Builder, k []float64, r resistor) {
	i, j := f.number[r.a], f.number[r.b]
	columns := len(f.toward)
	switch {
	case i >= 0 && j >= 0:
		addResistor(b, i, j, r.siemens)
	case i >= 0 || j >= 0:
		held := f.shares[r.b]
		if i < 0 {
			i, held = j, f.shares[r.a]
		}
		b.Add(int(i), int(i), r.siemens)
		for _, s := range held {
			f.toward[s.column][i] += r.siemens * s.weight
			for _, t := range held {
				k[s.column*columns+t.column] += r.siemens * s.weight * t.weight
			}
		}
	default:
		// (u_a - u_b)^2 with both made of columns.
		all := slices.Clone(f.shares[r.a])
		for _, s := range f.shares[r.b] {
			all = append(all, share{s.column, -s.weight})
		}
		for _, s := range all {
			for _, t := range all {
				k[s.column*columns+t.column] += r.siemens * s.weight * t.weight
			}
		}
	}
}

// contacts eliminates the contacts' columns.
func (f *finePatch) contacts(k []float64) error {
	n, columns := f.ports, f.ports+len(f.disc)
	c := columns - n
	cc := make([]float64, c*c)
	for i := range c {
		for j := range c {
			cc[i*c+j] = k[(n+i)*columns+n+j]
		}
	}
	own, err := inverse(cc, c)
	if err != nil {
		return errPatch
	}
	f.own, f.load = own, make([]float64, c*n)
	for i := range c {
		for p := range n {
			for j := range c {
				f.load[i*n+p] -= own[i*c+j] * k[(n+j)*columns+p]
			}
		}
	}
	f.across = make([]float64, n*n)
	for p := range n {
		for q := range n {
			f.across[p*n+q] = k[p*columns+q]
			for j := range c {
				f.across[p*n+q] += k[p*columns+n+j] * f.load[j*n+q]
			}
		}
	}
	return nil
}
