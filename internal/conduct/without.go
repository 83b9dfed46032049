package conduct

import "slices"

// Without gives the same copper on the same mesh with some low-ohm parts
// opened. What only they joined falls apart; contacts on different pieces
// then give ErrApart. The model itself is given back where it has none of
// them.
func (m *Model) Without(parts []string) (*Model, error) {
	opened := func(t Tie) bool { return slices.Contains(parts, t.Part) }
	if !slices.ContainsFunc(m.Group.Ties, opened) {
		return m, nil
	}
	out := m.sameMesh()
	out.Group.Ties = slices.DeleteFunc(slices.Clone(m.Group.Ties), opened)
	return out, out.nodal.factorise(out)
}

// Without gives the bridge with some low-ohm parts opened, in either group.
func (b *Bridge) Without(parts []string) (*Bridge, error) {
	return b.changed(func(m *Model) (*Model, error) { return m.Without(parts) })
}

// changed gives the bridge with other copper on the same meshes.
func (b *Bridge) changed(change func(*Model) (*Model, error)) (*Bridge, error) {
	out := &Bridge{Models: b.Models, Sites: b.Sites}
	for g, m := range b.Models {
		var err error
		if out.Models[g], err = change(m); err != nil {
			return nil, err
		}
		if out.Models[g] != m {
			out.Sites[g] = b.Sites[g].on(out.Models[g])
		}
	}
	return out, nil
}

// Joined tells, site by site, whether copper and low-ohm parts join the probe
// to the site's contact on its group.
func (b *Bridge) Joined(p Probe) ([]bool, error) {
	at, err := b.Models[p.Group].prepareUnrefined([]Disc{p.Disc}, 1)
	if err != nil {
		return nil, err
	}
	sites := b.Sites[p.Group]
	out := make([]bool, len(sites.Discs))
	for s := range out {
		out[s] = at.component(0) == sites.component(s)
	}
	return out, nil
}

// Unreached tells whether a predicted value stands for a place that the
// contacts cannot reach through copper.
func Unreached(ohms float64) bool { return ohms >= farOhms/2 }
