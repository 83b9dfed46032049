package sparse

import (
	"cmp"
	"math"
	"slices"
)

// minPasses is how often unknowns are paired before the coarse matrix is
// used: sixteen or so to a group.
const minPasses = 4

// coarsening pairs the unknowns of a matrix by their strongest couplings,
// again and again.
type coarsening struct {
	m      *Matrix
	x, y   []float64 // plan coordinates
	group  []int32   // of each of the first matrix's unknowns; nil at first
	passes int
}

// pairUp pairs once. It tells whether that made the matrix smaller.
func (c *coarsening) pairUp() bool {
	pair, n := matchPairs(c.m)
	if n > c.m.N*9/10 {
		return false
	}
	b := NewBuilder(n)
	b.Reserve(len(c.m.Row))
	x, y, size := make([]float64, n), make([]float64, n), make([]float64, n)
	for j := range c.m.N {
		g := pair[j]
		x[g] += c.x[j]
		y[g] += c.y[j]
		size[g]++
		for k := c.m.Start[j]; k < c.m.Start[j+1]; k++ {
			v, h := c.m.Value[k], pair[c.m.Row[k]]
			if int(c.m.Row[k]) != j && h == g {
				v *= 2 // the entry and its mirror
			}
			b.Add(int(g), int(h), v)
		}
	}
	for g := range size {
		x[g] /= size[g]
		y[g] /= size[g]
	}
	if c.group == nil {
		c.group = pair
	} else {
		for i, g := range c.group {
			c.group[i] = pair[g]
		}
	}
	c.m, c.x, c.y = b.Build(), x, y
	c.passes++
	return true
}

// matchPairs numbers pairs, the strongest couplings first, and what is left alone.
func matchPairs(m *Matrix) (pair []int32, n int) {
	type coupling struct {
		strength float64
		i, j     int32
	}
	var all []coupling
	for j := range m.N {
		for k := m.Start[j] + 1; k < m.Start[j+1]; k++ {
			i := m.Row[k]
			if v := -m.Value[k] / math.Sqrt(m.Value[m.Start[j]]*m.Value[m.Start[i]]); v > 0 {
				all = append(all, coupling{v, i, int32(j)})
			}
		}
	}
	slices.SortFunc(all, func(a, b coupling) int {
		return cmp.Or(cmp.Compare(b.strength, a.strength), cmp.Compare(a.j, b.j), cmp.Compare(a.i, b.i))
	})
	pair = make([]int32, m.N)
	for i := range pair {
		pair[i] = -1
	}
	for _, c := range all {
		if pair[c.i] < 0 && pair[c.j] < 0 {
			pair[c.i], pair[c.j] = int32(n), int32(n)
			n++
		}
	}
	for i := range pair {
		if pair[i] < 0 {
			pair[i] = int32(n)
			n++
		}
	}
	return pair, n
}
