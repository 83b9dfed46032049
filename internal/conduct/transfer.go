package conduct

import "math"

// Transfer is a four-wire resistance: the volts from contact high to contact
// low for unit current into contact in and out of contact out, all four
// equipotential at once. It may be negative.
//
// With c and v the potentials for unit current through either pair of
// contacts, it is the energy product <c, v>. Lower and Upper are bounds:
// <c, v> is a difference of two energies, ([c+v]^2 - [c-v]^2)/4, each of which
// the two spaces enclose, so that the truth is within half of sqrt(w_c w_v) of
// the middle, with w the width between the bounds of either pair's own
// resistance. That takes no heed of where the errors are; Low and High do:
// they add up sigma |dc| |dv| A over the triangles, with dc and dv the
// differences between the spaces' gradients, and take in the same share of it
// as for a resistance.
func (c *Contacts) Transfer(in, out, high, low int) (Bounds, error) {
	contacts := []int{in, out, high, low}
	cluster, n := c.clusters(contacts)
	flows := [2][]float64{make([]float64, n), make([]float64, n)}
	for k := range 2 {
		flows[k][cluster[2*k]]++
		flows[k][cluster[2*k+1]]--
	}
	var u [2][2][]float64    // by space, by pair
	var energy [2][3]float64 // by space: of either pair, and their product
	spaces := c.spacesFor(contacts)
	for s, f := range spaces {
		if err := f.joined(contacts); err != nil {
			return Bounds{}, err
		}
		arcs, g, owner := f.gather(c, contacts)
		for i, k := range owner {
			owner[i] = cluster[k]
		}
		var current [2][]float64
		for k := range 2 {
			var err error
			if current[k], err = currents(g, owner, flows[k]); err != nil {
				return Bounds{}, err
			}
			u[s][k], energy[s][k] = f.driven(arcs, current[k])
		}
		if err := f.space.factor.Err(); err != nil {
			return Bounds{}, err
		}
		for a, arc := range arcs {
			for k, i := range arc.Index {
				energy[s][2] += current[1][a] * arc.Value[k] * u[s][0][i]
			}
		}
	}
	if len(spaces) == 1 {
		r := energy[0][2]
		return Bounds{Ohms: r, Low: r, High: r, Lower: r, Upper: r}, nil
	}
	middle := (energy[0][2] + energy[1][2]) / 2
	width := math.Sqrt(math.Abs((energy[1][0] - energy[0][0]) * (energy[1][1] - energy[0][1])))
	half := bracketShare*min(width, c.product(u))/2 + leastBracket*math.Abs(middle)
	return Bounds{Ohms: middle, Low: middle - half, High: middle + half, Lower: middle - width/2, Upper: middle + width/2}, nil
}

// product adds up sigma |dc| |dv| A over all triangles.
func (c *Contacts) product(u [2][2][]float64) float64 {
	var sum float64
	nodal, edge := c.spaces[0].space, c.spaces[1].space
	for i, ms := range c.model.meshes {
		sigma := c.model.Group.Sheets[i].Conductance
		for t := range ms.Triangle {
			var size [2]float64
			var area float64
			for k := range 2 {
				var ax, ay, bx, by float64
				ax, ay, area = nodal.gradient(ms, i, t, u[0][k])
				bx, by, _ = edge.gradient(ms, i, t, u[1][k])
				size[k] = math.Hypot(ax-bx, ay-by)
			}
			sum += sigma * size[0] * size[1] * area
		}
	}
	return sum
}
