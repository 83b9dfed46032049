package geom

// sets joins numbers into classes; each class is named by its least member.
type sets []int32

func newSets(n int) sets {
	s := make(sets, n)
	for i := range s {
		s[i] = int32(i)
	}
	return s
}

func (s sets) find(i int32) int32 {
	for s[i] != i {
		s[i] = s[s[i]]
		i = s[i]
	}
	return i
}

func (s sets) join(i, j int32) {
	i, j = s.find(i), s.find(j)
	switch {
	case i < j:
		s[j] = i
	case j < i:
		s[i] = j
	}
}
