package conduct

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"ohmward/internal/sparse"
)

// NoCopperError says that a contact touches none of the group's copper.
type NoCopperError struct{ Disc Disc }

func (e *NoCopperError) Error() string {
	x, y := e.Disc.At.MM()
	return fmt.Sprintf("no copper under the contact at L%d@%.4f,%.4f", e.Disc.Layer+1, x, y)
}

// arc is a piece of a contact's rim: a share of unit current over unknowns,
// and the mean potential that belongs to it.
type arc = sparse.Vector

// arcs gives a contact's pieces in a space: the rims of the plated holes that
// it touches, and its own rim in the copper, cut into at most pieces parts
// (0: as many as the mesh has). The contact is their union at one potential.
func (m *Model) arcs(s *space, d Disc, pieces int) ([]arc, error) {
	var out []arc
	for _, u := range m.rimsOf(s, d) {
		out = append(out, unitArc(u))
	}
	if d.Diameter > 0 {
		out = append(out, m.rimArcs(s, d, pieces)...)
	}
	if len(out) == 0 {
		return nil, &NoCopperError{d}
	}
	return out, nil
}

// rimsOf are the unknowns of the plated holes' rims that a contact touches.
func (m *Model) rimsOf(s *space, d Disc) (out []int32) {
	for _, b := range m.rims.touched(d) {
		out = append(out, s.rim[b][d.Layer-m.Group.Barrels[b].FirstLayer])
	}
	return out
}

// unitArc is unit current into one unknown.
func unitArc(u int32) arc { return arc{Index: []int32{u}, Value: []float64{1}} }

// rimArcs gives the pieces of the disc's own rim; where the disc covers a
// whole piece of copper there is no rim and its middle stands for it.
func (m *Model) rimArcs(s *space, d Disc, pieces int) []arc {
	var found []rimPiece
	for i, sheet := range m.Group.Sheets {
		if sheet.Layer != d.Layer {
			continue
		}
		at := func(x, y float64) (rimPiece, bool) { return m.at(s, i, x, y) }
		if m.discs[d] {
			found = append(found, m.meshedPieces(s, i, d)...)
		} else {
			found = append(found, d.sampledPieces(at)...)
		}
		if len(found) == 0 { // the rim lies wholly off the copper
			x, y, _ := d.metres()
			if b, ok := at(x, y); ok {
				b.length = 1
				found = append(found, b)
			}
		}
	}
	slices.SortFunc(found, func(a, b rimPiece) int { return cmp.Compare(a.angle, b.angle) })
	return gather(found, pieces)
}

// rimPiece is a short piece of rim: where it lies around the centre, how long it
// is, and the unknowns that carry it.
type rimPiece struct {
	angle, length float64 // radians, metres
	index         [3]int32
	weight        [3]float64
}

// meshedPieces finds the mesh edges that follow the disc's rim.
func (m *Model) meshedPieces(s *space, sheet int, d Disc) []rimPiece {
	ms := m.meshes[sheet]
	var out []rimPiece
	for _, e := range m.rimEdges[sheet][d] {
		t, k := e.triangle, e.corner
		a, b := (k+1)%3, (k+2)%3
		va, vb := ms.Triangle[t][a], ms.Triangle[t][b]
		length := math.Hypot(ms.X[vb]-ms.X[va], ms.Y[vb]-ms.Y[va])
		if s.onEdges {
			mid := d.angle((ms.X[va]+ms.X[vb])/2, (ms.Y[va]+ms.Y[vb])/2)
			out = append(out, rimPiece{mid, length, [3]int32{s.dof[sheet][t][k]}, [3]float64{1}})
			continue
		}
		for _, c := range []int{a, b} {
			v := ms.Triangle[t][c]
			out = append(out, rimPiece{d.angle(ms.X[v], ms.Y[v]), length / 2,
				[3]int32{s.dof[sheet][t][c]}, [3]float64{1}})
		}
	}
	return out
}

// rimSamples is the number of points at which the rim of a contact that the
// mesh does not follow is sampled.
const rimSamples = 48

// sampledPieces takes the rim of a disc at evenly spaced points, given the
// interpolation at a point in metres.
func (d Disc) sampledPieces(at func(x, y float64) (rimPiece, bool)) []rimPiece {
	x, y, r := d.metres()
	var out []rimPiece
	for i := range rimSamples {
		a := 2 * math.Pi * (float64(i) + 0.5) / rimSamples
		px, py := x+r*math.Cos(a), y+r*math.Sin(a)
		if b, ok := at(px, py); ok {
			b.angle, b.length = d.angle(px, py), 1
			out = append(out, b)
		}
	}
	return out
}

// at gives the interpolation at a plan point (metres) in a space.
func (m *Model) at(s *space, sheet int, x, y float64) (rimPiece, bool) {
	t, lambda, ok := m.meshes[sheet].Find(x, y)
	if !ok {
		return rimPiece{}, false
	}
	b := rimPiece{index: s.dof[sheet][t], weight: lambda}
	if s.onEdges {
		for k := range b.weight {
			b.weight[k] = 1 - 2*lambda[k]
		}
	}
	return b, true
}

func (d Disc) angle(x, y float64) float64 {
	return math.Atan2(y-float64(d.At.Y)*1e-9, x-float64(d.At.X)*1e-9)
}

// gather joins rim pieces, sorted by angle, into arcs: one for each unknown when
// pieces is 0, else runs of about equal length that do not bridge gaps.
func gather(rim []rimPiece, pieces int) []arc {
	var total float64
	for _, b := range rim {
		total += b.length
	}
	var out []arc
	sum := map[int32]float64{}
	var length float64
	flush := func() {
		if length > 0 {
			out = append(out, toArc(sum, length))
		}
		clear(sum)
		length = 0
	}
	for i, b := range rim {
		full := pieces > 0 && length >= total/float64(pieces)*(1-1e-9)
		apart := i > 0 && b.angle-rim[i-1].angle > 4*math.Pi/rimSides
		if pieces == 0 && i > 0 && b.index != rim[i-1].index || full || apart {
			flush()
		}
		for k, u := range b.index {
			if b.weight[k] != 0 {
				sum[u] += b.weight[k] * b.length
			}
		}
		length += b.length
	}
	flush()
	return merged(out, pieces)
}

// merged unites arcs of one unknown that stand apart in angle (a vertex seen
// from two triangles).
func merged(arcs []arc, pieces int) []arc {
	if pieces != 0 {
		return arcs
	}
	seen := map[int32]bool{}
	return slices.DeleteFunc(arcs, func(a arc) bool { return !fresh(a, seen) })
}

func toArc(sum map[int32]float64, length float64) arc {
	var a arc
	for u := range sum {
		a.Index = append(a.Index, u)
	}
	slices.Sort(a.Index)
	for _, u := range a.Index {
		a.Value = append(a.Value, sum[u]/length)
	}
	return a
}

// mean is the contact's whole rim as one arc.
func (m *Model) mean(s *space, d Disc) (arc, error) {
	arcs, err := m.arcs(s, d, 1)
	if err != nil {
		return arc{}, err
	}
	sum := map[int32]float64{}
	for _, a := range arcs {
		for i, u := range a.Index {
			sum[u] += a.Value[i]
		}
	}
	return toArc(sum, float64(len(arcs))), nil
}

// Reaches tells whether a contact touches any of the group's copper.
func (m *Model) Reaches(d Disc) bool {
	_, err := m.arcs(m.nodal, d, 1)
	return err == nil
}
