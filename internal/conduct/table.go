package conduct

import (
	"slices"

	"ohmward/internal/sparse"
)

// Table is what many contacts of one group and the sites see of each other,
// for planning: every contact is given the current distribution that makes it
// equipotential by itself. On tracks narrower than a contact this is off by
// up to the resistance of the track under it.
type Table struct {
	R   [][]float64 // [contact][site] ohms between them
	G   [][]float64 // [contact][site] Green's function, any datum
	Own [][]float64 // [contact][contact] the same
}

// Table solves for many contacts of a group against all sites.
func (b *Bridge) Table(group int, discs []Disc) (*Table, error) {
	contacts, err := b.Models[group].Prepare(discs, probePieces)
	if err != nil {
		return nil, err
	}
	sites := b.Sites[group]
	p, s := contacts.balanced(), sites.balanced()
	if p.err != nil {
		return nil, p.err
	}
	t := &Table{}
	n, m := len(discs), len(sites.Discs)
	g, own := sparse.Gram(p.paths, s.paths), sparse.Gram(p.paths, p.paths)
	for i := range n {
		t.G = append(t.G, g[i*m:(i+1)*m:(i+1)*m])
		t.Own = append(t.Own, own[i*n:(i+1)*n:(i+1)*n])
		r := make([]float64, m)
		for j := range r {
			switch {
			case contacts.component(i) != sites.component(j):
				r[j] = farOhms
			case contacts.overlap(i, sites, j):
			default:
				r[j] = max(0, p.self[i]+s.self[j]-2*t.G[i][j])
			}
		}
		t.R = append(t.R, r)
	}
	return t, nil
}

// balance is each contact as one current distribution, equipotential by
// itself, and its potential for unit current.
type balance struct {
	paths []sparse.Path
	self  []float64
	err   error // of refining a contact
}

func (c *Contacts) balanced() balance {
	c.balanceOnce.Do(func() { c.balance = c.newBalance() })
	return c.balance
}

func (c *Contacts) newBalance() balance {
	b := balance{self: make([]float64, len(c.Discs))}
	for i, g := range c.selves() {
		paths := c.spaces[0].paths[i]
		if c.refines([]int{i}) {
			var err error
			if paths, g, err = c.refinedSelf(i); err != nil {
				return balance{err: err}
			}
		}
		w := equilibrium(g, len(paths))
		for k, v := range w {
			for l, u := range w {
				b.self[i] += v * u * g[k*len(paths)+l]
			}
		}
		b.paths = append(b.paths, sparse.Combine(paths, w))
	}
	return b
}

// equilibrium gives the shares of unit current that bring the arcs of one
// contact to one potential: G^-1 1 / (1' G^-1 1); equal shares where G is
// singular.
func equilibrium(g []float64, n int) []float64 {
	w := slices.Repeat([]float64{1}, n)
	if l := slices.Clone(g); n > 1 && cholesky(l, n) {
		solveCholesky(l, n, w)
	}
	normalise(w)
	return w
}
