package conduct

import (
	"slices"

	"ohmward/internal/sparse"
)

// refinedSelf gives a contact's sources by itself: their paths on the mesh as it
// is, and their refined Green's function.
func (c *Contacts) refinedSelf(contact int) ([]sparse.Path, []float64, error) {
	f := c.spaces[0]
	arcs, g, _, err := f.gather(c, []int{contact})
	return f.space.factor.ForwardMany(arcs), g, err
}

// refine fills the view with the contacts' patches put in; it reports whether
// they could be.
func (v *View) refine() (ok bool, err error) {
	c, f := v.contacts, v.contacts.spaces[0]
	lr, ok := f.update(c.model, c.patchesFor(c.all()))
	if !ok {
		return false, nil
	}
	perContact := make([][]source, len(c.Discs))
	for i := range perContact {
		if perContact[i], err = lr.sources(c, i); err != nil {
			return false, err
		}
	}
	var all []source
	all, v.first = flatten(perContact)
	s := f.solveSources(lr, all)
	v.own = s.green(c.model, lr)
	loads := s.loads(lr)
	v.arcs = make([][]arc, len(perContact))
	for i := range perContact {
		v.arcs[i] = loads[v.first[i]:v.first[i+1]]
	}
	return true, v.refineSites(lr, all, f.space.factor.ForwardMany(loads))
}

// refineSites fills in what concerns the sites: from the contacts, by what they
// do on the mesh as it is; and each one by itself. A site that reaches into a
// patch is evaluated there.
func (v *View) refineSites(lr *lowRankUpdate, contacts []source, loads []sparse.Path) error {
	m, g := v.contacts.model, v.sites.spaces[0]
	v.siteArcs = slices.Clone(g.arcs)
	paths := slices.Clone(g.paths)
	near := map[int][]source{}
	for i, arcs := range g.arcs {
		if !slices.ContainsFunc(arcs, lr.removes) {
			continue
		}
		var err error
		if near[i], err = lr.sampledSources(m, v.sites.Discs[i], len(arcs)); err != nil {
			return err
		}
		v.siteArcs[i] = nil
		for _, s := range near[i] {
			v.siteArcs[i] = append(v.siteArcs[i], s.vector)
		}
		paths[i] = g.space.factor.ForwardMany(v.siteArcs[i])
	}
	var all []sparse.Path
	all, v.siteFirst = flatten(paths)
	v.cross = sparse.Gram(loads, all)
	n, wide := len(lr.ports), len(all)
	toPorts := sparse.Gram(lr.paths, all)
	wg := multiply(lr.w, toPorts, n, n, wide)
	plain := v.sites.selves()
	v.self = make([][]float64, len(paths))
	for i := range paths {
		first, k := v.siteFirst[i], v.siteFirst[i+1]-v.siteFirst[i]
		self := plain[i]
		if near[i] != nil {
			self = sparse.Gram(paths[i], paths[i])
		}
		v.self[i] = slices.Clone(self)
		for p := range n {
			for a := range k {
				for b := range k {
					v.self[i][a*k+b] -= toPorts[p*wide+first+a] * wg[p*wide+first+b]
				}
			}
		}
		for a, x := range near[i] {
			for b, y := range near[i] {
				v.self[i][a*k+b] += lr.coupling(m, x, y)
			}
			for c, y := range contacts {
				v.cross[c*wide+first+a] += lr.coupling(m, x, y)
			}
		}
	}
	return nil
}
