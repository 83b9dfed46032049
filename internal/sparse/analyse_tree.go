package sparse

import "slices"

// pattern lists, for each row or column in some numbering, the others that it
// has entries with, and where their values stand in Matrix.Value.
type pattern struct {
	start  []int32
	other  []int32
	source []int32
}

// newPattern lists the entries of the matrix renumbered by rank (rank[old] =
// new), diagonals left out: for each row i the columns j < i if byRow, else for
// each column the rows below it.
func newPattern(m *Matrix, rank []int32, byRow bool) pattern {
	p := pattern{start: make([]int32, m.N+1), other: make([]int32, len(m.Row)-m.N)}
	if !byRow {
		p.source = make([]int32, len(p.other)) // nobody asks where the values of rows stand
	}
	ends := func(c, k int) (key, other int32) {
		i, j := rank[m.Row[k]], rank[c]
		if (i > j) == byRow {
			return i, j
		}
		return j, i
	}
	for c := range m.N {
		for k := m.Start[c] + 1; k < m.Start[c+1]; k++ {
			key, _ := ends(c, k)
			p.start[key+1]++
		}
	}
	for i := range m.N {
		p.start[i+1] += p.start[i]
	}
	next := slices.Clone(p.start[:m.N])
	for c := range m.N {
		for k := m.Start[c] + 1; k < m.Start[c+1]; k++ {
			key, other := ends(c, k)
			at := next[key]
			p.other[at] = other
			if p.source != nil {
				p.source[at] = int32(k)
			}
			next[key]++
		}
	}
	return p
}

// eliminationTree returns each column's parent: the first row below the
// diagonal of its column of L, -1 for a root (Liu 1986, by path compression).
func eliminationTree(left pattern) []int32 {
	n := len(left.start) - 1
	parent, ancestor := make([]int32, n), make([]int32, n)
	for i := range parent {
		parent[i], ancestor[i] = -1, -1
		for _, j := range left.other[left.start[i]:left.start[i+1]] {
			for j != -1 && j < int32(i) {
				up := ancestor[j]
				ancestor[j] = int32(i)
				if up == -1 {
					parent[j] = int32(i)
				}
				j = up
			}
		}
	}
	return parent
}

// postorder numbers the nodes of a forest so that each subtree is contiguous
// and ends with its root; children keep their order. It returns post[k] =
// node.
func postorder(parent []int32) []int32 {
	n := len(parent)
	head, sibling := make([]int32, n+1), make([]int32, n)
	for i := range head {
		head[i] = -1
	}
	for i := n - 1; i >= 0; i-- {
		p := parent[i]
		if p < 0 {
			p = int32(n)
		}
		sibling[i], head[p] = head[p], int32(i)
	}
	post, stack := make([]int32, 0, n), make([]int32, 0, 64)
	for root := head[n]; root >= 0; root = sibling[root] {
		stack = append(stack, root)
		for len(stack) > 0 {
			top := stack[len(stack)-1]
			if child := head[top]; child >= 0 {
				head[top] = sibling[child]
				stack = append(stack, child)
				continue
			}
			post = append(post, top)
			stack = stack[:len(stack)-1]
		}
	}
	return post
}

// columnCounts returns the number of entries of each column of L, diagonal
// included, for a tree in postorder (Gilbert, Ng and Peyton 1994): column j
// counts for row i if it is a leaf of row i's subtree, less what is counted
// twice where two leaves' paths to the root meet. The pattern is in the
// numbering before: column j is its column post[j], to the inverse.
func columnCounts(below pattern, parent, post, to []int32) []int32 {
	n := len(parent)
	first, lastLeaf := make([]int32, n), make([]int32, n)
	highest, ancestor := make([]int32, n), make([]int32, n)
	count := make([]int32, n)
	for i := range first {
		first[i], lastLeaf[i], highest[i], ancestor[i] = -1, -1, -1, int32(i)
	}
	for k := range first {
		if first[k] == -1 {
			count[k] = 1
		}
		for j := int32(k); j != -1 && first[j] == -1; j = parent[j] {
			first[j] = int32(k)
		}
	}
	for j := range first {
		if p := parent[j]; p != -1 {
			count[p]--
		}
		for _, q := range below.other[below.start[post[j]]:below.start[post[j]+1]] {
			i := to[q]
			if first[j] <= highest[i] {
				continue
			}
			highest[i] = first[j]
			previous := lastLeaf[i]
			lastLeaf[i] = int32(j)
			count[j]++
			if previous == -1 {
				continue
			}
			meet := previous
			for meet != ancestor[meet] {
				meet = ancestor[meet]
			}
			for s := previous; s != meet; {
				s, ancestor[s] = ancestor[s], meet
			}
			count[meet]--
		}
		if p := parent[j]; p != -1 {
			ancestor[j] = p
		}
	}
	for j := range count {
		if p := parent[j]; p != -1 {
			count[p] += count[j]
		}
	}
	return count
}
