package conduct

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"sync"
)

// patchStore keeps the patches that were asked for last, for all models of one
// mesh and the same connections.
type patchStore struct {
	mu    sync.Mutex
	known map[string]func() *patch
	order []string
}

// mostPatches bounds what is kept: a patch takes about half a megabyte, up to
// two on a plane with many holes.
const mostPatches = 64

// patch gives the patch of some contacts on a sheet, nil where there can be
// none.
func (m *Model) patch(sheet int, discs []Disc) *patch {
	key := fmt.Sprint(sheet, discs)
	s := m.patches
	s.mu.Lock()
	made := s.known[key]
	if made == nil {
		made = sync.OnceValue(func() *patch { return m.newPatch(sheet, discs) })
		s.known[key] = made
		if s.order = append(s.order, key); len(s.order) > mostPatches {
			delete(s.known, s.order[0])
			s.order = s.order[1:]
		}
	}
	s.mu.Unlock()
	return made()
}

func newPatchStore() *patchStore { return &patchStore{known: map[string]func() *patch{}} }

// unfollowed tells whether a contact has a rim that the mesh does not follow.
func (m *Model) unfollowed(d Disc) bool { return d.Diameter > 0 && !m.discs[d] }

// patchesFor gives the patches for a reading's contacts: one for each that the
// mesh does not follow, or one for several that stand close together, be the
// others followed or not. Contacts whose patch cannot be made stay as they are.
func (c *Contacts) patchesFor(contacts []int) []*patch {
	m := c.model
	var out []*patch
	for sheet, s := range m.Group.Sheets {
		var groups []*patchGroup
		for k, i := range contacts {
			d := c.Discs[i]
			if d.Layer != s.Layer || slices.Contains(contacts[:k], i) || c.unrefined[i] {
				continue
			}
			g := &patchGroup{discs: []Disc{d}, removed: map[int]bool{}}
			m.removeAround(sheet, g.removed, d)
			if len(g.removed) > 0 {
				groups = append(groups, g)
			}
		}
		if len(groups) == 0 {
			continue
		}
		for _, i := range contacts {
			if d := c.Discs[i]; d.Layer == s.Layer && m.discs[d] {
				groups = c.joinFollowed(groups, sheet, i)
			}
		}
		for _, g := range joinGroups(groups) {
			slices.SortFunc(g.discs, compareDiscs)
			if p := m.patch(sheet, slices.Compact(g.discs)); p != nil {
				out = append(out, p)
			}
		}
	}
	return out
}

// patchGroup is contacts that share a patch.
type patchGroup struct {
	discs   []Disc
	removed map[int]bool
}

func compareDiscs(a, b Disc) int {
	return cmp.Or(cmp.Compare(a.At.X, b.At.X), cmp.Compare(a.At.Y, b.At.Y), cmp.Compare(a.Diameter, b.Diameter),
		cmp.Compare(a.Layer, b.Layer))
}

// joinFollowed takes a contact that the mesh follows into a patch that takes
// out triangles at its rim.
func (c *Contacts) joinFollowed(groups []*patchGroup, sheet, contact int) []*patchGroup {
	rim := map[int32]bool{}
	for _, a := range c.spaces[0].arcs[contact] {
		for _, u := range a.Index {
			rim[u] = true
		}
	}
	for _, g := range groups {
		for t := range g.removed {
			dof := c.model.nodal.dof[sheet][t]
			if rim[dof[0]] || rim[dof[1]] || rim[dof[2]] {
				d := c.Discs[contact]
				joined := &patchGroup{discs: []Disc{d}, removed: map[int]bool{}}
				c.model.removeAround(sheet, joined.removed, d)
				return append(groups, joined)
			}
		}
	}
	return groups
}

// joinGroups unites groups that take out the same triangles.
func joinGroups(groups []*patchGroup) []*patchGroup {
	for i := 0; i < len(groups); i++ {
		g := groups[i]
		meets := func(o *patchGroup) bool {
			return o != g && slices.ContainsFunc(sorted(o.removed), func(t int) bool { return g.removed[t] })
		}
		if j := slices.IndexFunc(groups, meets); j >= 0 {
			g.discs = append(g.discs, groups[j].discs...)
			maps.Copy(g.removed, groups[j].removed)
			groups, i = slices.Delete(groups, j, j+1), -1
		}
	}
	return groups
}
