package conduct

import (
	"slices"

	"ohmward/internal/sparse"
)

// View is what contacts and sites of one group see of each other: everything
// that readings at the contacts need for a bridge at any of the sites. It
// uses the nodal space alone.
type View struct {
	contacts, sites *Contacts
	arcs, siteArcs  [][]arc
	first           []int // first arc of each contact
	siteFirst       []int
	own             []float64   // arcs of the contacts among themselves, row-major
	cross           []float64   // arcs of the contacts by arcs of the sites
	self            [][]float64 // each site's arcs among themselves
	err             error       // of refining the contacts: there is nothing else then
}

// View prepares the contacts against sites of the same model.
func (c *Contacts) View(sites *Contacts) *View {
	v := &View{contacts: c, sites: sites, arcs: c.spaces[0].arcs, siteArcs: sites.spaces[0].arcs}
	if c.refines(c.all()) {
		var ok bool
		if ok, v.err = v.refine(); ok || v.err != nil {
			return v
		}
	}
	f, g := c.spaces[0], sites.spaces[0]
	var a, b []sparse.Path
	a, v.first = flatten(f.paths)
	b, v.siteFirst = flatten(g.paths)
	v.own = sparse.Gram(a, a)
	v.cross = sparse.Gram(a, b)
	v.self = sites.selves()
	return v
}

// selves gives each contact's arcs among themselves in the nodal space,
// computed once.
func (c *Contacts) selves() [][]float64 {
	c.selfOnce.Do(func() {
		c.self = make([][]float64, len(c.Discs))
		for i, paths := range c.spaces[0].paths {
			n := len(paths)
			c.self[i] = make([]float64, n*n)
			for p := range n {
				for q := range p + 1 {
					d := sparse.Dot(paths[p], paths[q])
					c.self[i][p*n+q], c.self[i][q*n+p] = d, d
				}
			}
		}
	})
	return c.self
}

// all lists the contacts.
func (c *Contacts) all() []int {
	list := make([]int, len(c.Discs))
	for i := range list {
		list[i] = i
	}
	return list
}

func flatten[T any](paths [][]T) (all []T, first []int) {
	for _, p := range paths {
		first = append(first, len(all))
		all = append(all, p...)
	}
	return all, append(first, len(all))
}

// Impedance gives the potentials of the listed contacts and, last, of the
// site's contact, for unit current into each (ohms, any common datum), all of
// them equipotential at once.
//
// ErrApart says that copper does not join the site to the contacts.
func (v *View) Impedance(contacts []int, site int) ([][]float64, error) {
	if v.err != nil {
		return nil, v.err
	}
	for _, i := range contacts {
		if v.contacts.component(i) != v.sites.component(site) {
			return nil, ErrApart
		}
	}
	cluster, n := v.clusters(contacts, site)
	g, owner := v.block(contacts, site, cluster)
	reduced, err := reduce(g, owner, n)
	if err != nil {
		return nil, err
	}
	return byContact(reduced, cluster, n), nil
}

// clusters is that of the contacts with the site as the last.
func (v *View) clusters(contacts []int, site int) (cluster []int, n int) {
	sets := v.contacts.joinOverlapping(contacts)
	sets = append(sets, int32(len(contacts)))
	for k, i := range contacts {
		if v.contacts.overlap(i, v.sites, site) {
			sets.Join(k, len(contacts))
		}
	}
	return numbered(sets)
}

// block gathers the arcs' Green's function of some contacts and a site, each
// unknown that stands for a whole rim once.
func (v *View) block(contacts []int, site int, cluster []int) (g []float64, owner []int) {
	type ref struct {
		site bool
		at   int // index among all arcs
		in   int // index within the site
	}
	var refs []ref
	seen := map[int32]bool{}
	for k, i := range contacts {
		if slices.Contains(contacts[:k], i) {
			continue
		}
		for a, arc := range v.arcs[i] {
			if fresh(arc, seen) {
				refs = append(refs, ref{at: v.first[i] + a})
				owner = append(owner, cluster[k])
			}
		}
	}
	same := slices.ContainsFunc(contacts, func(i int) bool { return v.contacts.Discs[i] == v.sites.Discs[site] })
	for a, arc := range v.siteArcs[site] {
		if !same && fresh(arc, seen) {
			refs = append(refs, ref{site: true, at: v.siteFirst[site] + a, in: a})
			owner = append(owner, cluster[len(contacts)])
		}
	}
	own, wide := v.first[len(v.first)-1], v.siteFirst[len(v.siteFirst)-1]
	inSite := v.siteFirst[site+1] - v.siteFirst[site]
	g = make([]float64, len(refs)*len(refs))
	for i, p := range refs {
		for j, q := range refs {
			var value float64
			switch {
			case p.site && q.site:
				value = v.self[site][p.in*inSite+q.in]
			case p.site:
				value = v.cross[q.at*wide+p.at]
			case q.site:
				value = v.cross[p.at*wide+q.at]
			default:
				value = v.own[p.at*own+q.at]
			}
			g[i*len(refs)+j] = value
		}
	}
	return g, owner
}

// component is the connected piece of copper that a contact stands on.
func (c *Contacts) component(i int) int32 { return c.spaces[0].component(i) }
