package sparse

import "math/bits"

// store keeps slices that are no longer needed, by size, for the next use.
// One goroutine owns it.
type store struct {
	free  [160][][]float64
	small []float64
}

// sizeClass numbers sizes in steps of a quarter of a power of two; the size
// of a class is the greatest in it.
func sizeClass(n int) (class, size int) {
	if n <= 64 {
		return 0, 64
	}
	shift := bits.Len(uint(n-1)) - 3
	q := (n - 1) >> shift // 4 .. 7
	return 4*shift + q, (q + 1) << shift
}

// take returns n numbers of any value.
func (s *store) take(n int) []float64 {
	class, size := sizeClass(n)
	if list := s.free[class]; len(list) > 0 {
		out := list[len(list)-1]
		s.free[class] = list[:len(list)-1]
		return out[:n]
	}
	return make([]float64, n, size)
}

// give hands back a slice that take returned, of this store or another.
func (s *store) give(x []float64) {
	class, _ := sizeClass(cap(x))
	s.free[class] = append(s.free[class], x[:0])
}

// least returns n zeros.
func (s *store) least(n int) []float64 {
	if cap(s.small) < n {
		s.small = make([]float64, 2*n)
	}
	out := s.small[:n]
	clear(out)
	return out
}
