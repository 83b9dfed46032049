package sparse

import (
	"fmt"
	"math"
	"slices"
)

// Matrix is the lower triangle, diagonal included, of a symmetric matrix,
// stored by columns: column j holds rows Row[Start[j]:Start[j+1]], ascending
// and beginning with j itself.
type Matrix struct {
	N     int
	Start []int
	Row   []int32
	Value []float64
}

// Builder gathers entries of a symmetric matrix in any order.
type Builder struct {
	n        int
	row, col []int32 // row >= col
	value    []float64
}

// NewBuilder returns a builder of an n by n matrix that is zero so far.
func NewBuilder(n int) *Builder {
	if n < 0 || n > math.MaxInt32-8 {
		panic(fmt.Sprintf("sparse: matrix size %d out of range", n))
	}
	return &Builder{n: n}
}

// Reserve makes room for so many calls of Add to come.
func (b *Builder) Reserve(n int) {
	b.row, b.col, b.value = slices.Grow(b.row, n), slices.Grow(b.col, n), slices.Grow(b.value, n)
}

// Add adds v to the entry (i, j) and so to its mirror (j, i). Either triangle
// may be named; an off-diagonal pair is added once, not twice.
func (b *Builder) Add(i, j int, v float64) {
	if i < 0 || j < 0 || i >= b.n || j >= b.n {
		panic(fmt.Sprintf("sparse: entry (%d, %d) outside a matrix of size %d", i, j, b.n))
	}
	if i < j {
		i, j = j, i
	}
	b.row = append(b.row, int32(i))
	b.col = append(b.col, int32(j))
	b.value = append(b.value, v)
}

// Build returns the matrix. Every diagonal entry is stored, if only as zero.
// Entries added to the same place are summed in the order of their adding.
// The builder may be added to and built again.
func (b *Builder) Build() *Matrix {
	n, total := b.n, len(b.value)
	byRow := countingSort(b.row, n, nil)
	start := make([]int, n+1)
	order := countingSort(b.col, n, byRow)
	m := &Matrix{N: n, Start: start, Row: make([]int32, 0, total+n), Value: make([]float64, 0, total+n)}
	at := 0
	for j := 0; j < n; j++ {
		start[j] = len(m.Row)
		m.Row = append(m.Row, int32(j))
		m.Value = append(m.Value, 0)
		for at < total && b.col[order[at]] == int32(j) {
			k := order[at]
			if last := len(m.Row) - 1; m.Row[last] == b.row[k] {
				m.Value[last] += b.value[k]
			} else {
				m.Row = append(m.Row, b.row[k])
				m.Value = append(m.Value, b.value[k])
			}
			at++
		}
	}
	start[n] = len(m.Row)
	return m
}

// countingSort returns the indices of key sorted by key (0 <= key < n), those
// with equal keys in the order given by from (nil: 0, 1, 2, ...).
func countingSort(key []int32, n int, from []int32) []int32 {
	next := make([]int32, n+1)
	for _, k := range key {
		next[k+1]++
	}
	for i := 0; i < n; i++ {
		next[i+1] += next[i]
	}
	out := make([]int32, len(key))
	for i := range key {
		e := int32(i)
		if from != nil {
			e = from[i]
		}
		k := key[e]
		out[next[k]] = e
		next[k]++
	}
	return out
}

// Mul sets dst = A x. The two must not overlap.
func (m *Matrix) Mul(dst, x []float64) {
	checkLength("Mul", m.N, len(dst), len(x))
	clear(dst)
	for j := 0; j < m.N; j++ {
		lo, hi := m.Start[j], m.Start[j+1]
		xj, sum := x[j], 0.0
		for k := lo; k < hi; k++ {
			i, v := m.Row[k], m.Value[k]
			if int(i) == j {
				sum += v * xj
				continue
			}
			dst[i] += v * xj
			sum += v * x[i]
		}
		dst[j] += sum
	}
}

// check tells what is wrong with the form of a matrix, if anything.
func (m *Matrix) check() error {
	if m.N < 0 || len(m.Start) != m.N+1 || m.Start[0] != 0 || m.Start[m.N] != len(m.Row) || len(m.Row) != len(m.Value) {
		return fmt.Errorf("sparse: matrix of size %d: lengths of its slices disagree", m.N)
	}
	if len(m.Row) > math.MaxInt32 {
		return fmt.Errorf("sparse: matrix of size %d: %d entries are more than can be numbered", m.N, len(m.Row))
	}
	for j := 0; j < m.N; j++ {
		lo, hi := m.Start[j], m.Start[j+1]
		if hi <= lo || hi > len(m.Row) || m.Row[lo] != int32(j) {
			return fmt.Errorf("sparse: column %d does not begin with its diagonal entry", j)
		}
		for k := lo + 1; k < hi; k++ {
			if m.Row[k] <= m.Row[k-1] || int(m.Row[k]) >= m.N {
				return fmt.Errorf("sparse: column %d: rows not ascending below %d", j, m.N)
			}
		}
	}
	return nil
}

func checkLength(what string, n int, lengths ...int) {
	for _, l := range lengths {
		if l != n {
			panic(fmt.Sprintf("sparse: %s: vector of length %d for a matrix of size %d", what, l, n))
		}
	}
}
