package sparse

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

// childLists lists the children of each group, in a chain.
type childLists struct{ first, last, next []int32 }

func newChildLists(groups []group) childLists {
	n := len(groups)
	f := childLists{first: make([]int32, n), last: make([]int32, n), next: make([]int32, n)}
	for i := range groups {
		f.first[i], f.last[i], f.next[i] = -1, -1, -1
	}
	for i := range groups {
		if p := groups[i].parent; p >= 0 {
			f.add(p, int32(i), int32(i))
		}
	}
	return f
}

// add puts a chain of groups behind the children of p.
func (f *childLists) add(p, first, last int32) {
	if f.first[p] < 0 {
		f.first[p] = first
	} else {
		f.next[f.last[p]] = first
	}
	f.last[p] = last
}

// remove takes a child of p, the one after before (-1: the first), off.
func (f *childLists) remove(p, before int32) int32 {
	at := &f.first[p]
	if before >= 0 {
		at = &f.next[before]
	}
	c := *at
	*at, f.next[c] = f.next[c], -1
	if f.last[p] == c {
		f.last[p] = before
	}
	return c
}

// relax merges children into their parents where that stores few zeros more:
// wide blocks run so much faster than narrow ones that it pays. Parents come
// after children in groups.
func relax(groups []group) {
	f := newChildLists(groups)
	for p := range int32(len(groups)) {
		inherited, last := int32(-1), int32(-1)
		for {
			found, before, least := false, int32(-1), 0.0
			previous := int32(-1)
			for c := f.first[p]; c >= 0; previous, c = c, f.next[c] {
				extra := extraZeros(&groups[c], &groups[p])
				if acceptable(&groups[c], &groups[p], extra) && (!found || extra < least) {
					found, before, least = true, previous, extra
				}
			}
			if !found {
				break
			}
			c := f.remove(p, before)
			mergeInto(groups, c, p, least)
			for g := f.first[c]; g >= 0; g = f.next[g] {
				groups[g].parent = p
			}
			if f.first[c] < 0 {
				continue
			}
			if inherited < 0 {
				inherited = f.first[c]
			} else {
				f.next[last] = f.first[c]
			}
			last = f.last[c]
		}
		if inherited >= 0 {
			f.add(p, inherited, last)
		}
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

// mergeInto puts a child's columns before its parent's.
func mergeInto(groups []group, c, p int32, extra float64) {
	child, parent := &groups[c], &groups[p]
	groups[child.tail].next = parent.head
	parent.head = child.head
	parent.width += child.width
	parent.zeros += child.zeros + extra
	child.merged = true
}
