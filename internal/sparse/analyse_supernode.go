package sparse

import "slices"

// A group is a set of columns of L that share their rows below: its columns
// (in the numbering of the first postorder), how many rows stand below them,
// and its place in the tree of groups. Its columns are its own run lo .. hi-1
// and those of the groups merged into it: the runs of groups head, next of
// head and so on to tail.
type group struct {
	lo, hi     int32
	head, tail int32
	next       int32 // -1 at the end
	parent     int32 // group, -1 for a root
	width      int
	below      int
	zeros      float64 // entries stored though known to be zero
	flops      float64
	merged     bool // into its parent
}

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
	n, runs := len(parent), int32(0)
	of := make([]int32, n)
	for j := range of {
		if j == 0 || parent[j-1] != int32(j) || count[j] != count[j-1]-1 {
			runs++
		}
		of[j] = runs - 1
	}
	groups := make([]group, runs)
	for j, g := range of {
		if w := &groups[g]; w.width == 0 {
			*w = group{lo: int32(j), head: g, tail: g, next: -1, parent: -1}
		}
		groups[g].hi = int32(j) + 1
		groups[g].width++
		groups[g].below = int(count[j]) - 1
		if p := parent[j]; p >= 0 && of[p] != g {
			groups[g].parent = of[p]
		}
	}
	return groups
}

// relax merges children into their parents where that stores few zeros more:
// wide blocks run so much faster than narrow ones that it pays. Parents come
// after children in groups.
func relax(groups []group) {
	children := childrenOf(groups)
	var inherited []int32 // reused
	for p := range groups {
		own := children[p]
		inherited = inherited[:0]
		for {
			best, least := -1, 0.0
			for i, c := range own {
				extra := extraZeros(&groups[c], &groups[p])
				if acceptable(&groups[c], &groups[p], extra) && (best < 0 || extra < least) {
					best, least = i, extra
				}
			}
			if best < 0 {
				break
			}
			c := own[best]
			own = slices.Delete(own, best, best+1)
			mergeInto(groups, c, int32(p), least)
			for _, g := range children[c] {
				groups[g].parent = int32(p)
			}
			inherited = append(inherited, children[c]...)
		}
		children[p] = append(own, inherited...)
	}
}

// childrenOf lists the children of each group, ascending.
func childrenOf(groups []group) [][]int32 {
	key := make([]int32, len(groups))
	for i := range groups {
		key[i] = groups[i].parent + 1
	}
	children, sorted := make([][]int32, len(groups)), countingSort(key, len(groups)+1)
	for lo, hi := 0, 0; lo < len(sorted); lo = hi {
		for hi = lo; hi < len(sorted) && key[sorted[hi]] == key[sorted[lo]]; hi++ {
		}
		if p := key[sorted[lo]] - 1; p >= 0 {
			children[p] = sorted[lo:hi:hi]
		}
	}
	return children
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

// mergeInto puts a child's columns before its parent's.
func mergeInto(groups []group, c, p int32, extra float64) {
	child, parent := &groups[c], &groups[p]
	groups[child.tail].next = parent.head
	parent.head = child.head
	parent.width += child.width
	parent.zeros += child.zeros + extra
	child.merged = true
}
