package conduct

import (
	"maps"
	"math"
	"slices"
)

// patch refines the mesh where it does not follow a contact. Around some contacts that stand
// close together a few of the mesh's triangles are taken out, and the same
// copper is put back finely meshed, with each contact a conductor of its own.
// The rest of the mesh meets the patch in its ports: the unknowns on the edges
// at which it was cut, the rims of plated holes within it, and the unknowns
// that carry a low-ohm part or the datum. On a cut edge the potential stays
// linear, so that old and new fit together, and the whole is Dirichlet's bound
// for a finer mesh.
//
// With K the fine matrix on ports p and contacts c, all else eliminated,
//
//	own  = K_cc^-1          the contacts' potentials, ports at zero
//	load = -own K_cp        where a contact's unit current leaves
//	gain = K_pp - K_pc own K_cp - (the same of the triangles taken out)
//
// gain is by how much better the ports are joined than the mesh has it. All is
// for one siemens per square.
type patch struct {
	sheet   int
	discs   []Disc
	removed map[int]bool
	inner   map[int32]bool // unknowns of the triangles taken out, but for the ports
	ports   []int32        // unknowns, ascending
	gain    []float64      // port by port, row-major
	fine    *finePatch
}

// patchEdges is how many edges of a patch's mesh span a contact.
const patchEdges = 8

// newPatch makes the patch of some contacts on a sheet. It gives nil where
// there is no copper under them, and where the copper does not allow it.
func (m *Model) newPatch(sheet int, discs []Disc) *patch {
	p := &patch{sheet: sheet, discs: discs, removed: map[int]bool{}}
	for _, d := range discs {
		m.removeAround(sheet, p.removed, d)
	}
	return m.build(p)
}

// build finds the rest of a patch, nil where it cannot.
func (m *Model) build(p *patch) *patch {
	if len(p.removed) == 0 {
		return nil
	}
	sheet := p.sheet
	cut := m.cutOut(sheet, p.removed)
	p.findPorts(m, cut)
	fine, err := m.newFinePatch(p, cut)
	if err != nil {
		return nil
	}
	p.fine = fine
	coarse, ok := p.replaced(m)
	if !ok {
		return nil
	}
	p.gain = slices.Clone(fine.across)
	for i, v := range coarse {
		p.gain[i] -= v
	}
	if !p.conserves() {
		return nil
	}
	p.conserve()
	return p
}

// conserve takes the rounding out of the patch: equal potentials drive no current,
// and all of a contact's leaves at the ports. What is lost otherwise, however
// little, counts as often as there are squares between it and the datum.
func (p *patch) conserve() {
	n := len(p.ports)
	for i := range n {
		for j := range i {
			mean := (p.gain[i*n+j] + p.gain[j*n+i]) / 2
			p.gain[i*n+j], p.gain[j*n+i] = mean, mean
		}
	}
	for i := range n {
		row := p.gain[i*n : (i+1)*n]
		row[i] = 0
		row[i] = -sum(row)
	}
	for c := range p.fine.disc {
		normalise(p.fine.load[c*n : (c+1)*n])
	}
}

func sum(v []float64) (total float64) {
	for _, x := range v {
		total += x
	}
	return total
}

// normalise makes a list sum to one.
func normalise(v []float64) {
	total := sum(v)
	for i := range v {
		v[i] /= total
	}
}

// lossTolerance is how much of a current, or of a siemens, rounding may lose.
const lossTolerance = 1e-6

// conserves tells whether no current is lost in the patch: all that enters by a
// contact leaves at the ports, and equal potentials drive none.
func (p *patch) conserves() bool {
	n := len(p.ports)
	for i := range n {
		if !(math.Abs(sum(p.gain[i*n:(i+1)*n])) < lossTolerance*(1+math.Abs(p.gain[i*n+i]))) {
			return false
		}
	}
	for c := range p.fine.disc {
		lost := math.Abs(sum(p.fine.load[c*n:(c+1)*n]) - 1)
		if !(lost < lossTolerance && p.fine.own[c*len(p.discs)+c] > 0) {
			return false
		}
	}
	return true
}

// findPorts sorts the unknowns of the triangles taken out into ports and inner
// ones.
func (p *patch) findPorts(m *Model, cut cutting) {
	s, ports := m.nodal, map[int32]bool{}
	for _, d := range p.discs {
		for _, u := range m.rimsOf(s, d) {
			ports[u] = true
		}
	}
	for _, rings := range cut.seams {
		for _, ring := range rings {
			for _, e := range ring {
				if e.held {
					ports[e.u], ports[e.v] = true, true
				}
			}
		}
	}
	p.inner = map[int32]bool{}
	for t := range p.removed {
		for _, u := range s.dof[p.sheet][t] {
			if s.held[u] {
				ports[u] = true
			}
			p.inner[u] = true
		}
	}
	for u := range ports {
		delete(p.inner, u)
	}
	p.ports = sorted(ports)
}

// port gives an unknown's place among the ports.
func (p *patch) port(u int32) (int, bool) { return slices.BinarySearch(p.ports, u) }

// replaced is what the triangles taken out conduct between the ports: their
// matrix with the inner unknowns eliminated.
func (p *patch) replaced(m *Model) ([]float64, bool) {
	n := len(p.ports)
	row := map[int32]int{}
	for i, u := range p.ports {
		row[u] = i
	}
	inner := sorted(p.inner)
	for i, u := range inner {
		row[u] = n + i
	}
	size := n + len(inner)
	k := make([]float64, size*size)
	ms := m.meshes[p.sheet]
	for _, t := range sorted(p.removed) {
		c := conductances(ms.X, ms.Y, ms.Triangle[t], 1)
		dof := m.nodal.dof[p.sheet][t]
		for e := range 3 {
			addConductance(k, size, row[dof[e]], row[dof[(e+1)%3]], c[e])
		}
	}
	if !eliminate(k, size, n) {
		return nil, false
	}
	out := make([]float64, n*n)
	for i := range n {
		copy(out[i*n:(i+1)*n], k[i*size:i*size+n])
	}
	return out, true
}

// addConductance joins two rows of a dense symmetric matrix.
func addConductance(k []float64, size, i, j int, siemens float64) {
	if i == j {
		return
	}
	k[i*size+i] += siemens
	k[j*size+j] += siemens
	k[i*size+j] -= siemens
	k[j*size+i] -= siemens
}

// eliminate takes the rows from keep on out of a symmetric positive matrix, the
// last first; it reports whether all pivots were positive.
func eliminate(k []float64, size, keep int) bool {
	var most float64
	for i := range size {
		most = math.Max(most, k[i*size+i])
	}
	for q := size - 1; q >= keep; q-- {
		pivot := k[q*size+q]
		if pivot <= 1e-12*most {
			return false
		}
		row := k[q*size : q*size+q]
		for i := range q {
			f := k[i*size+q] / pivot
			if f == 0 {
				continue
			}
			to := k[i*size : i*size+q]
			for j, v := range row {
				to[j] -= f * v
			}
		}
	}
	return true
}

// sorted lists the members of a set; all that it names are.
func sorted[T int | int32](set map[T]bool) []T { return slices.Sorted(maps.Keys(set)) }
