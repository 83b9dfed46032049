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
	t, err := c.transfer([]int{in, out, high, low})
	if err != nil {
		return Bounds{}, err
	}
	return c.bracketed(t), nil
}

func (c *Contacts) bracketed(t *transferred) Bounds {
	energy := t.energy
	if len(energy) == 1 {
		r := energy[0][2]
		return Bounds{Ohms: r, Low: r, High: r, Lower: r, Upper: r}
	}
	middle := t.middle()
	width := math.Sqrt(math.Abs((energy[1][0] - energy[0][0]) * (energy[1][1] - energy[0][1])))
	var product float64
	c.eachProduct(t.u, func(_, _ int, term float64) { product += term })
	own := math.Sqrt((energy[0][0] + energy[1][0]) / 2 * (energy[0][1] + energy[1][1]) / 2)
	half := shareAt(width/2/own)*min(width, product)/2 + leastBracket*math.Abs(middle)
	return Bounds{
		Ohms:  middle,
		Low:   middle - half,
		High:  middle + half,
		Lower: middle - width/2,
		Upper: middle + width/2,
	}
}

// transferred is both spaces' solutions for a four-wire reading.
type transferred struct {
	u      [2][2][]float64 // by space, by pair: current, volts
	energy [][3]float64    // by space: of either pair, and their product
}

// middle is the mean of both spaces.
func (t *transferred) middle() float64 {
	var sum float64
	for _, e := range t.energy {
		sum += e[2] / float64(len(t.energy))
	}
	return sum
}

// transfer solves for unit current through either pair of contacts: in and out,
// high and low.
func (c *Contacts) transfer(contacts []int) (*transferred, error) {
	cluster, n := c.clusters(contacts)
	flows := [2][]float64{make([]float64, n), make([]float64, n)}
	for k := range 2 {
		flows[k][cluster[2*k]]++
		flows[k][cluster[2*k+1]]--
	}
	t := &transferred{}
	for s, f := range c.spacesFor(contacts) {
		if err := f.joined(contacts); err != nil {
			return nil, err
		}
		arcs, g, owner, err := f.gather(c, contacts)
		if err != nil {
			return nil, err
		}
		for i, k := range owner {
			owner[i] = cluster[k]
		}
		var current [2][]float64
		var energy [3]float64
		for k := range 2 {
			var err error
			if current[k], err = currents(g, owner, flows[k]); err != nil {
				return nil, err
			}
			t.u[s][k], energy[k] = f.driven(arcs, current[k])
		}
		if err := f.space.factor.Err(); err != nil {
			return nil, err
		}
		energy[2] = quadraticOf(g, current[0], current[1])
		t.energy = append(t.energy, energy)
	}
	return t, nil
}

// quadraticOf is v' G c for a row-major G.
func quadraticOf(g, v, c []float64) float64 {
	var sum float64
	for i, x := range v {
		for j, y := range c {
			sum += x * y * g[i*len(c)+j]
		}
	}
	return sum
}

// eachProduct visits every triangle's sigma |dc| |dv| A.
func (c *Contacts) eachProduct(u [2][2][]float64, visit func(sheet, t int, term float64)) {
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
			visit(i, t, sigma*size[0]*size[1]*area)
		}
	}
}
