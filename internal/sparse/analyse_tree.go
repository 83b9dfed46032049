package sparse

// pattern lists, for each column in some numbering, the rows below it and
// where their values stand in Matrix.Value.
type pattern struct {
	start  []int32
	row    []int32
	source []int32 // nil where nobody asks
}

// rowsLeft returns, for each row i of the matrix renumbered by rank
// (rank[old] = new), the columns j < i with an entry. Diagonals are left out,
// and so is where the values stand.
func rowsLeft(m *Matrix, rank []int32) pattern {
	p := pattern{row: make([]int32, len(m.Row)-m.N)}
	next := p.begin(m, rank, func(i, j int32) int32 { return max(i, j) })
	for c := 0; c < m.N; c++ {
		j := rank[c]
		for k := m.Start[c] + 1; k < m.Start[c+1]; k++ {
			i := rank[m.Row[k]]
			at := &next[max(i, j)]
			p.row[*at] = min(i, j)
			*at++
		}
	}
	return p
}

// columnsBelow returns, for each column, the rows below it.
func columnsBelow(m *Matrix, rank []int32) pattern {
	p := pattern{row: make([]int32, len(m.Row)-m.N), source: make([]int32, len(m.Row)-m.N)}
	next := p.begin(m, rank, func(i, j int32) int32 { return min(i, j) })
	for c := 0; c < m.N; c++ {
		j := rank[c]
		for k := m.Start[c] + 1; k < m.Start[c+1]; k++ {
			i := rank[m.Row[k]]
			at := &next[min(i, j)]
			p.row[*at], p.source[*at] = max(i, j), int32(k)
			*at++
		}
	}
	return p
}

// begin counts the entries of each list, as which one key tells, and returns
// where each begins once more, to be counted up.
func (p *pattern) begin(m *Matrix, rank []int32, key func(i, j int32) int32) []int32 {
	p.start = make([]int32, m.N+1)
	for c := 0; c < m.N; c++ {
		for k := m.Start[c] + 1; k < m.Start[c+1]; k++ {
			p.start[key(rank[m.Row[k]], rank[c])+1]++
		}
	}
	for i := 0; i < m.N; i++ {
		p.start[i+1] += p.start[i]
	}
	return append([]int32(nil), p.start[:m.N]...)
}

// eliminationTree returns each column's parent: the first row below the
// diagonal of its column of L, -1 for a root (Liu 1986, by path compression).
func eliminationTree(left pattern) []int32 {
	n := len(left.start) - 1
	parent, ancestor := make([]int32, n), make([]int32, n)
	for i := range parent {
		parent[i], ancestor[i] = -1, -1
		for _, j := range left.row[left.start[i]:left.start[i+1]] {
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
		for _, q := range below.row[below.start[post[j]]:below.start[post[j]+1]] {
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
