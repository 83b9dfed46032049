package copper

// sets is a union-find forest with path halving.
type sets []int

func newSets(n int) sets {
	s := make(sets, n)
	for i := range s {
		s[i] = i
	}
	return s
}

func (s sets) root(i int) int {
	for s[i] != i {
		s[i] = s[s[i]]
		i = s[i]
	}
	return i
}

// join unites two sets; the smaller root stays, so results do not depend on
// the order of joining.
func (s sets) join(a, b int) {
	a, b = s.root(a), s.root(b)
	if a > b {
		a, b = b, a
	}
	s[b] = a
}
