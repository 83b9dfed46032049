package conduct

import "slices"

// refines tells whether patches refine some of the contacts.
func (c *Contacts) refines(contacts []int) bool {
	return slices.ContainsFunc(contacts, func(i int) bool { return i < len(c.unrefined) && !c.unrefined[i] })
}

// spacesFor is the spaces that tell about some contacts: patches refine the
// nodal one alone.
func (c *Contacts) spacesFor(contacts []int) []*contactSpace {
	if c.refines(contacts) {
		return c.spaces[:1]
	}
	return c.spaces
}

// patchable tells whether a contact's patch can be made.
func (m *Model) patchable(d Disc) bool {
	for sheet, s := range m.Group.Sheets {
		if s.Layer == d.Layer && m.patch(sheet, []Disc{d}) != nil {
			return true
		}
	}
	return false
}

// gatherRefined is gather with the contacts' patches put in; the arcs are the
// currents that do the same outside of them. It gives no arcs where the patches
// cannot be put in.
func (f *contactSpace) gatherRefined(
	c *Contacts, contacts []int,
) (arcs []arc, g []float64, owner []int, err error) {
	lr, ok := f.update(c.model, c.patchesFor(contacts))
	if !ok {
		return nil, nil, nil, nil
	}
	var all []source
	for k, i := range contacts {
		if slices.Contains(contacts[:k], i) {
			continue
		}
		own, err := lr.sources(c, i)
		if err != nil {
			return nil, nil, nil, err
		}
		for _, s := range own {
			all, owner = append(all, s), append(owner, k)
		}
	}
	s := f.solveSources(lr, all)
	return s.loads(lr), s.green(c.model, lr), owner, nil
}

// What contacts that the mesh does not follow may be off, in squares: refined,
// and where no patch can be made (up to 3 low and 0.02 high in the tests, which
// draw the worst that a coarse mesh can do).
const (
	refinedSlack  = 0.01
	unrefinedLow  = 4.0
	unrefinedHigh = 0.1
)

func (c *Contacts) refinedResistance(i, j int) (Bounds, error) {
	z, err := c.spaces[0].impedance(c, []int{i, j})
	if err != nil {
		return Bounds{}, err
	}
	r := z[0][0] + z[1][1] - 2*z[0][1]
	return c.widened(between(r, r), i, j), nil
}

// widened takes into a bracket what contacts add that the mesh does not follow.
func (c *Contacts) widened(b Bounds, contacts ...int) Bounds {
	for _, i := range contacts {
		if i >= len(c.unrefined) {
			continue
		}
		var low, high float64
		switch {
		case !c.unrefined[i]:
			low, high = refinedSlack, refinedSlack
		case c.model.unfollowed(c.Discs[i]):
			low, high = unrefinedLow, unrefinedHigh
		}
		sigma := c.sheetConductance(i)
		b.High, b.Upper = b.High+low/sigma, b.Upper+low/sigma
		b.Low, b.Lower = max(0, b.Low-high/sigma), max(0, b.Lower-high/sigma)
	}
	return b
}

// sheetConductance is that of the layer a contact stands on.
func (c *Contacts) sheetConductance(contact int) float64 {
	for _, s := range c.model.Group.Sheets {
		if s.Layer == c.Discs[contact].Layer {
			return s.Conductance
		}
	}
	return 1
}
