package conduct

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"sync"

	"ohmward/internal/parallel"
	"ohmward/internal/sparse"
	"ohmward/internal/unionfind"
)

// ErrApart says that two contacts stand on copper that is not connected.
var ErrApart = errors.New("the places are not connected by copper")

// Contacts are places prepared for resistances between any of them.
type Contacts struct {
	model     *Model
	Discs     []Disc          // the places, in the order in which they are numbered
	touched   [][]int         // the plated holes that each takes along
	unrefined []bool          // of each: taken as the mesh has it, also where that does not follow it
	spaces    []*contactSpace // the nodal space, then the edge space where there is one

	selfOnce sync.Once
	self     [][]float64

	balanceOnce sync.Once
	balance     balance
}

// contactSpace is what a space knows of the contacts: the arcs of each and their
// forward solutions.
type contactSpace struct {
	space *space
	arcs  [][]arc
	paths [][]sparse.Path
	own   []func() contactGreen // of each contact, worked out when first asked for
}

// contactGreen is what the answers for one contact have in common: its forward
// solutions ready for products, and its own Green's function.
type contactGreen struct {
	paths *sparse.Bundle
	green []float64
}

// Prepare solves for every contact. A contact that the mesh follows is cut into
// at most pieces arcs (0: as finely as the mesh has it), all at one potential;
// one that it does not follow is refined by a patch.
func (m *Model) Prepare(discs []Disc, pieces int) (*Contacts, error) {
	plain := make([]bool, len(discs))
	err := parallel.Try(context.Background(), len(discs), func(i int) error {
		plain[i] = !m.unfollowed(discs[i]) || !m.patchable(discs[i])
		return nil
	})
	if err != nil {
		return nil, err
	}
	return m.prepare(discs, pieces, plain)
}

// prepareUnrefined takes all contacts as the mesh has them.
func (m *Model) prepareUnrefined(discs []Disc, pieces int) (*Contacts, error) {
	return m.prepare(discs, pieces, slices.Repeat([]bool{true}, len(discs)))
}

func (m *Model) prepare(discs []Disc, pieces int, plain []bool) (*Contacts, error) {
	c := &Contacts{model: m, Discs: discs, unrefined: plain}
	for _, d := range discs {
		c.touched = append(c.touched, m.rims.touched(d))
	}
	for _, s := range m.spaces() {
		f, err := c.prepareSpace(s, pieces)
		if err != nil {
			return nil, err
		}
		c.spaces = append(c.spaces, f)
	}
	return c, nil
}

func (m *Model) spaces() []*space {
	if m.edge == nil {
		return []*space{m.nodal}
	}
	return []*space{m.nodal, m.edge}
}

func (c *Contacts) prepareSpace(s *space, pieces int) (*contactSpace, error) {
	m := c.model
	f := &contactSpace{space: s, arcs: make([][]arc, len(c.Discs))}
	for i, d := range c.Discs {
		arcs, err := m.arcs(s, d, pieces)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", m.Group.Name, err)
		}
		f.arcs[i] = arcs
	}
	f.solve()
	return f, s.factor.Err()
}

// solve finds the forward solutions of all arcs.
func (f *contactSpace) solve() {
	var all []sparse.Vector
	for _, arcs := range f.arcs {
		all = append(all, arcs...)
	}
	paths := f.space.factor.ForwardMany(all)
	f.paths = make([][]sparse.Path, len(f.arcs))
	for i, arcs := range f.arcs {
		f.paths[i], paths = paths[:len(arcs):len(arcs)], paths[len(arcs):]
	}
	f.own = make([]func() contactGreen, len(f.arcs))
	for i, p := range f.paths {
		f.own[i] = sync.OnceValue(func() contactGreen {
			b := sparse.NewBundle(p)
			return contactGreen{b, b.Gram(b)}
		})
	}
}

// Bounds is a resistance with the model's own error around it, in ohms.
type Bounds struct {
	Ohms         float64 // the resistance
	Low, High    float64 // bracket of the error: see bracketShare
	Lower, Upper float64 // Dirichlet's and Thomson's bounds on this mesh
}

// Resistance is the resistance between contacts i and j, with both at one
// potential each and all others plain copper. Contacts that overlap or share
// a hole's rim read zero. With one space all bounds are its value.
func (c *Contacts) Resistance(i, j int) (Bounds, error) {
	if c.overlap(i, c, j) {
		return Bounds{}, nil
	}
	if c.refines([]int{i, j}) {
		return c.refinedResistance(i, j)
	}
	var r []float64
	for _, f := range c.spaces {
		z, err := f.impedance(c, []int{i, j})
		if err != nil {
			return Bounds{}, err
		}
		r = append(r, z[0][0]+z[1][1]-2*z[0][1])
	}
	return c.widened(between(r[0], r[len(r)-1]), i, j), nil
}

// bracketShare is the share of the distance from the middle to either bound
// that the bracket takes in. The errors of the two elements nearly cancel in
// the middle: on the 64 resistances of the checks and the closed forms of the
// tests the middle is at most 0.4 of that distance off, in the median 0.08, and
// on hundreds of random shapes (TestBrackets) at most 0.27. On meshes too coarse
// for their corners, told by bounds that lie more than fineBounds to either
// side, they cancel less: from coarseBounds on the bracket is the bounds.
const (
	bracketShare = 0.5
	fineBounds   = 0.006
	coarseBounds = 0.03
)

// shareAt is that share where the bounds lie so far, relative, to either side.
func shareAt(apart float64) float64 {
	return bracketShare + (1-bracketShare)*min(max((apart-fineBounds)/(coarseBounds-fineBounds), 0), 1)
}

// leastBracket is what the contacts' polygons and rounding leave open,
// relative.
const leastBracket = 2e-4

func between(lower, upper float64) Bounds {
	middle := (lower + upper) / 2
	half := math.Abs(upper-lower) / 2
	if middle > 0 {
		half *= shareAt(half / middle)
	}
	half += leastBracket * middle
	return Bounds{
		Ohms:  middle,
		Low:   middle - half,
		High:  middle + half,
		Lower: min(lower, upper),
		Upper: max(lower, upper),
	}
}

// Impedance gives the potentials (ohms, any common datum) of the listed
// contacts for unit current into each, all of them equipotential at once. It
// takes the mean of both spaces where both are solved and none is refined.
func (c *Contacts) Impedance(contacts []int) ([][]float64, error) {
	var sum [][]float64
	for _, f := range c.spacesFor(contacts) {
		z, err := f.impedance(c, contacts)
		if err != nil {
			return nil, err
		}
		if sum == nil {
			sum = z
			continue
		}
		for i := range z {
			for j := range z[i] {
				sum[i][j] = (sum[i][j] + z[i][j]) / 2
			}
		}
	}
	return sum, nil
}

// impedance reduces the arcs of the contacts to one potential each:
// with G the arcs' Green's function and E the 0/1 matrix of arcs to contacts,
// Z = (E' G^-1 E)^-1.
func (f *contactSpace) impedance(c *Contacts, contacts []int) ([][]float64, error) {
	cluster, n := c.clusters(contacts)
	if err := f.joined(contacts); err != nil {
		return nil, err
	}
	_, g, owner, err := f.gather(c, contacts)
	if err != nil {
		return nil, err
	}
	for i, k := range owner {
		owner[i] = cluster[k]
	}
	reduced, err := reduce(g, owner, n)
	if err != nil {
		return nil, err
	}
	return byContact(reduced, cluster, n), nil
}

// byContact writes a matrix of n clusters, row-major, out for their contacts.
func byContact(reduced []float64, cluster []int, n int) [][]float64 {
	z := make([][]float64, len(cluster))
	for i := range z {
		z[i] = make([]float64, len(cluster))
		for j := range z[i] {
			z[i][j] = reduced[cluster[i]*n+cluster[j]]
		}
	}
	return z
}

// joined checks that copper joins all of the contacts.
func (f *contactSpace) joined(contacts []int) error {
	for _, i := range contacts {
		if f.component(i) != f.component(contacts[0]) {
			return ErrApart
		}
	}
	return nil
}

// component is the connected piece of copper that a contact stands on.
func (f *contactSpace) component(i int) int32 { return f.space.component[f.arcs[i][0].Index[0]] }

// member is a contact of a reading, and which of its arcs count.
type member struct {
	contact int
	arcs    []int
}

// gather lists the arcs of some contacts, their Green's function (row-major)
// and, for each, which of the contacts it belongs to. An unknown that stands
// for a whole rim comes once, and so does a contact that is named twice.
func (f *contactSpace) gather(c *Contacts, contacts []int) (arcs []arc, g []float64, owner []int, err error) {
	if !f.space.onEdges && c.refines(contacts) {
		if arcs, g, owner, err := f.gatherRefined(c, contacts); arcs != nil || err != nil {
			return arcs, g, owner, err
		}
	}
	var members []member
	seen := map[int32]bool{}
	for k, i := range contacts {
		if slices.Contains(contacts[:k], i) {
			continue
		}
		m := member{contact: i}
		for a, arc := range f.arcs[i] {
			if fresh(arc, seen) {
				m.arcs = append(m.arcs, a)
				arcs = append(arcs, arc)
				owner = append(owner, k)
			}
		}
		members = append(members, m)
	}
	return arcs, f.green(members, len(arcs)), owner, nil
}

// fresh tells whether an arc is not that of a single unknown seen before, and
// notes it as seen.
func fresh(a arc, seen map[int32]bool) bool {
	if len(a.Index) != 1 {
		return true
	}
	known := seen[a.Index[0]]
	seen[a.Index[0]] = true
	return !known
}

// green fills the Green's function of n arcs block by block: a contact's own
// block is kept, so that a further pair costs only what lies between its two.
func (f *contactSpace) green(members []member, n int) []float64 {
	g := make([]float64, n*n)
	row := 0
	for k, a := range members {
		own, all := f.own[a.contact](), len(f.arcs[a.contact])
		for i, p := range a.arcs {
			for j, q := range a.arcs {
				g[(row+i)*n+row+j] = own.green[p*all+q]
			}
		}
		column := row + len(a.arcs)
		for _, b := range members[k+1:] {
			all := len(f.arcs[b.contact])
			between := own.paths.Gram(f.own[b.contact]().paths)
			for i, p := range a.arcs {
				for j, q := range b.arcs {
					v := between[p*all+q]
					g[(row+i)*n+column+j], g[(column+j)*n+row+i] = v, v
				}
			}
			column += len(b.arcs)
		}
		row += len(a.arcs)
	}
	return g
}

// clusters numbers the contacts, giving those that overlap, be it by way of
// others, one number.
func (c *Contacts) clusters(contacts []int) (cluster []int, n int) {
	return numbered(c.joinOverlapping(contacts))
}

func (c *Contacts) joinOverlapping(contacts []int) unionfind.Sets {
	sets := unionfind.New(len(contacts))
	for a := range contacts {
		for b := range a {
			if c.overlap(contacts[a], c, contacts[b]) {
				sets.Join(a, b)
			}
		}
	}
	return sets
}

// numbered numbers the sets in the order of their first members.
func numbered(sets unionfind.Sets) (number []int, n int) {
	number = make([]int, len(sets))
	for i := range number {
		if root := sets.Find(i); root < i {
			number[i] = number[root]
		} else {
			number[i] = n
			n++
		}
	}
	return number, n
}

// overlap tells whether two contacts are one piece of metal: discs that share
// area, or a common hole's rim.
func (c *Contacts) overlap(i int, other *Contacts, j int) bool {
	a, b := c.Discs[i], other.Discs[j]
	if a.Layer != b.Layer {
		return false
	}
	dx, dy := float64(a.At.X-b.At.X), float64(a.At.Y-b.At.Y)
	if a == b || math.Hypot(dx, dy) < float64(a.Diameter+b.Diameter)/2 {
		return true
	}
	return slices.ContainsFunc(c.touched[i], func(h int) bool { return slices.Contains(other.touched[j], h) })
}
