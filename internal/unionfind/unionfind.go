// Package unionfind joins the numbers 0 .. n-1 into classes (disjoint sets).
package unionfind

// Sets holds the classes: for each number another one of its class that is
// less, or itself, which makes it the class's root. Appending the number
// len(Sets) adds a class of its own. Not safe for concurrent use.
type Sets []int32

// New puts each of n numbers into a class of its own.
func New(n int) Sets {
	s := make(Sets, n)
	for i := range s {
		s[i] = int32(i)
	}
	return s
}

// Find gives the least member of i's class. It halves the path on its way.
func (s Sets) Find(i int) int {
	at := int32(i)
	for s[at] != at {
		s[at] = s[s[at]]
		at = s[at]
	}
	return int(at)
}

// Join makes one class of those of i and j.
func (s Sets) Join(i, j int) {
	a, b := s.Find(i), s.Find(j)
	s[max(a, b)] = int32(min(a, b))
}
