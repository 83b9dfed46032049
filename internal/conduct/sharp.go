package conduct

import (
	"context"
	"math"
	"slices"
	"sync"

	"ohmward/internal/parallel"
	"ohmward/internal/sparse"
)

// sharpSite is a bridge's contact as a patch has it: by the pieces of its rim,
// and by how much, in ohms, its own potential is more than as the mesh has it.
// Without arcs nothing better is known than that.
type sharpSite struct {
	inner map[int32]bool // the unknowns that the patch took out
	arcs  []arc
	paths []sparse.Path
	green []float64
	lift  float64
}

// sharpness is what is known of contacts that are mended only when asked for.
type sharpness struct {
	mu    sync.Mutex
	known map[int]sharpSite
}

// Contacts in one patch lie no farther than sharpReach (nanometres) from the
// first, and are sharpMost at most.
const (
	sharpReach = 1_000_000
	sharpMost  = 8
)

// some gives some of the contacts by themselves, as the mesh has them.
func (c *Contacts) some(which []int) *Contacts {
	f, plain := c.spaces[0], c.selves()
	out, g := &Contacts{model: c.model}, &felt{space: c.spaces[0].space}
	for _, i := range which {
		out.Discs = append(out.Discs, c.Discs[i])
		out.touched = append(out.touched, c.touched[i])
		out.plain = append(out.plain, true)
		out.self = append(out.self, plain[i])
		g.arcs, g.paths = append(g.arcs, f.arcs[i]), append(g.paths, f.paths[i])
	}
	out.spaces = []*felt{g}
	out.selfOnce.Do(func() {})
	return out
}

// sharpened gives some of the contacts by themselves, mended by patches that
// neighbours share, for readings at some probes. Where a probe stands in a
// contact's patch, the contact keeps its place on the mesh as it is and only its
// own potential is set right: the patch tells of the copper outside of it. What
// cannot be mended stays as the mesh has it.
func (c *Contacts) sharpened(which []int, probes *Contacts) *Contacts {
	found := c.sharpen(which)
	out := c.some(which)
	g := out.spaces[0]
	for k, s := range found {
		switch {
		case s.arcs == nil:
		case probes.reachInto(s.inner):
			out.self[k] = slices.Clone(out.self[k])
			for n := range out.self[k] {
				out.self[k][n] += s.lift
			}
		default:
			g.arcs[k], g.paths[k], out.self[k] = s.arcs, s.paths, s.green
		}
	}
	return out
}

// reachInto tells whether some contact is carried by some of the unknowns.
func (c *Contacts) reachInto(unknowns map[int32]bool) bool {
	for _, arcs := range c.spaces[0].arcs {
		for _, a := range arcs {
			if slices.ContainsFunc(a.Index, func(u int32) bool { return unknowns[u] }) {
				return true
			}
		}
	}
	return false
}

// sharpen gives contacts mended, those that were not yet from now on.
func (c *Contacts) sharpen(which []int) (out []sharpSite) {
	c.sharp.mu.Lock()
	defer c.sharp.mu.Unlock()
	if c.sharp.known == nil {
		c.sharp.known = map[int]sharpSite{}
	}
	groups := c.sharpGroups(which)
	found := make([][]sharpSite, len(groups))
	_ = parallel.Try(context.Background(), len(groups), func(k int) error {
		found[k] = c.sharpGroup(groups[k].sheet, groups[k].contacts)
		return nil
	})
	for k, g := range groups {
		for n, s := range found[k] {
			c.sharp.known[g.contacts[n]] = s
		}
	}
	for _, i := range which {
		out = append(out, c.sharp.known[i])
	}
	return out
}

// neighbours are contacts on one sheet that share a patch.
type neighbours struct {
	sheet    int
	contacts []int
}

// sharpGroups sorts those contacts that were not mended yet into groups, and
// notes that they are in hand.
func (c *Contacts) sharpGroups(which []int) (groups []*neighbours) {
	for _, i := range which {
		if _, done := c.sharp.known[i]; done {
			continue
		}
		c.sharp.known[i] = sharpSite{}
		d := c.Discs[i]
		sheet, ok := c.model.sheetUnder(d)
		if !ok {
			continue
		}
		at := slices.IndexFunc(groups, func(g *neighbours) bool {
			first := c.Discs[g.contacts[0]]
			return g.sheet == sheet && len(g.contacts) < sharpMost && math.Hypot(float64(d.At.X-first.At.X), float64(d.At.Y-first.At.Y)) < sharpReach
		})
		if at < 0 {
			at, groups = len(groups), append(groups, &neighbours{sheet: sheet})
		}
		groups[at].contacts = append(groups[at].contacts, i)
	}
	return groups
}

// sheetUnder is the sheet under a contact, where there is but one.
func (m *Model) sheetUnder(d Disc) (sheet int, ok bool) {
	sheet = -1
	for i, s := range m.Group.Sheets {
		if s.Layer != d.Layer || len(m.meshes[i].Near(float64(d.At.X)*1e-9, float64(d.At.Y)*1e-9, float64(d.Diameter)/2*1e-9)) == 0 {
			continue
		}
		if sheet >= 0 {
			return -1, false
		}
		sheet = i
	}
	return sheet, sheet >= 0 && d.Diameter > 0
}

// sharpGroup mends contacts that share a patch.
func (c *Contacts) sharpGroup(sheet int, contacts []int) []sharpSite {
	out := make([]sharpSite, len(contacts))
	var discs []Disc
	for _, i := range contacts {
		discs = append(discs, c.Discs[i])
	}
	slices.SortFunc(discs, compareDiscs)
	discs = slices.Compact(discs)
	p := c.model.plainPatch(sheet, discs)
	if p == nil {
		return out
	}
	f := c.spaces[0]
	md, ok := f.mend(c.model, []*patch{p})
	if !ok {
		return out
	}
	view, sigma := md.portView(), c.model.Group.Sheets[sheet].Conductance
	for n, i := range contacts {
		r := p.rims[slices.Index(discs, c.Discs[i])]
		if r.points == 0 {
			continue
		}
		loads, green, self := view.contact(r, sigma)
		if !(self > 0) {
			continue
		}
		s := sharpSite{inner: p.inner, green: green, lift: self - c.ownOhms(i)}
		for a := range r.pieces {
			load := loads[a*view.ports : (a+1)*view.ports]
			s.arcs = append(s.arcs, p.asLoad(load))
			s.paths = append(s.paths, sparse.Combine(md.paths, load))
		}
		out[n] = s
	}
	return out
}

// asLoad makes an arc of current into the ports. An arc of a single unknown
// stands for a whole rim, which a single port may not be: it gets another
// unknown, without current.
func (p *patch) asLoad(load []float64) arc {
	if len(p.ports) > 1 || len(p.inner) == 0 {
		return arc{Index: p.ports, Value: load}
	}
	return toArc(map[int32]float64{p.ports[0]: load[0], sorted(p.inner)[0]: 0}, 1)
}

// ownOhms is a contact's potential for unit current into it, as the mesh has it.
func (c *Contacts) ownOhms(i int) (ohms float64) {
	g, n := c.selves()[i], len(c.spaces[0].paths[i])
	w := equilibrium(g, n)
	for a := range n {
		for b := range n {
			ohms += w[a] * w[b] * g[a*n+b]
		}
	}
	return ohms
}

// sharp is the bridge with some of its sites alone, mended for each reading.
func (b *Bridge) sharp(sites []int) *Bridge {
	return &Bridge{Models: b.Models, Sites: [2]*Contacts{b.Sites[0].some(sites), b.Sites[1].some(sites)}, whole: b, which: sites}
}
