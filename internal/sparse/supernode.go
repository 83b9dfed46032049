package sparse

import "slices"

// A group is a set of columns of L that share their rows below: its columns
// (in the numbering of the first postorder), how many rows stand below them,
// and its place in the tree of groups.
type group struct {
	columns []span
	width   int
	below   int
	zeros   float64 // entries stored though known to be zero
	parent  int32   // group, -1 for a root
	merged  bool    // swallowed by its parent
	flops   float64
}

// span is the columns lo <= j < hi.
type span struct{ lo, hi int32 }

// entries of a trapezoid of w columns with u rows below.
func trapezoid(w, u int) float64 { return float64(w)*float64(w+1)/2 + float64(w)*float64(u) }

// eliminationFlops is the multiplications and additions of eliminating w
// columns with u rows below.
func eliminationFlops(w, u int) float64 {
	a, b := float64(u), float64(w+u)
	// A column with d entries costs about d²; the sum of d² for a < d <= b.
	return (b*(b+1)*(2*b+1) - a*(a+1)*(2*a+1)) / 6
}

// fundamental splits the columns into maximal runs in which each column's
// rows are those of the one before it less its first.
func fundamental(parent, count []int32) []group {
	var groups []group
	n := len(parent)
	of := make([]int32, n)
	for j := 0; j < n; {
		end := j + 1
		for end < n && parent[end-1] == int32(end) && count[end] == count[end-1]-1 {
			end++
		}
		for k := j; k < end; k++ {
			of[k] = int32(len(groups))
		}
		groups = append(groups, group{
			columns: []span{{int32(j), int32(end)}},
			width:   end - j,
			below:   int(count[end-1]) - 1,
			parent:  parent[end-1],
		})
		j = end
	}
	for i := range groups {
		if p := groups[i].parent; p >= 0 {
			groups[i].parent = of[p]
		}
	}
	return groups
}

// relax merges children into their parents where that stores few zeros more:
// wide blocks run so much faster than narrow ones that it pays. Parents come
// after children in groups.
func relax(groups []group) {
	children := make([][]int32, len(groups))
	for i := range groups {
		if p := groups[i].parent; p >= 0 {
			children[p] = append(children[p], int32(i))
		}
	}
	for p := range groups {
		var adopted []int32
		for len(children[p]) > 0 {
			best, least := -1, 0.0
			for k, c := range children[p] {
				extra := extraZeros(&groups[c], &groups[p])
				if acceptable(&groups[c], &groups[p], extra) && (best < 0 || extra < least) {
					best, least = k, extra
				}
			}
			if best < 0 {
				break
			}
			c := children[p][best]
			absorb(&groups[c], &groups[p], least)
			for _, g := range children[c] {
				groups[g].parent = int32(p)
			}
			children[p] = slices.Delete(children[p], best, best+1)
			adopted = append(adopted, children[c]...)
			children[c] = nil
		}
		children[p] = append(children[p], adopted...)
	}
}

func extraZeros(child, parent *group) float64 {
	return trapezoid(child.width+parent.width, parent.below) -
		trapezoid(child.width, child.below) - trapezoid(parent.width, parent.below)
}

// acceptable compares all the zeros a merged group would hold with its size;
// the limits were found by timing on planar meshes.
func acceptable(child, parent *group, extra float64) bool {
	w := child.width + parent.width
	share := (extra + child.zeros + parent.zeros) / trapezoid(w, parent.below)
	switch {
	case w <= 8:
		return share <= 0.6
	case w <= 24:
		return share <= 0.25
	case w <= 64:
		return share <= 0.1
	}
	return share <= 0.03
}

func absorb(child, parent *group, extra float64) {
	parent.columns = append(child.columns, parent.columns...)
	parent.width += child.width
	parent.zeros += child.zeros + extra
	child.merged = true
	child.columns = nil
}
