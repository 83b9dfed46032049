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
	N     int       // rows and columns
	Start []int     // of each column in Row and Value, and their length
	Row   []int32   // of each entry
	Value []float64 // of each entry
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
		panic(fmt.Sprintf("matrix size %d out of range", n))
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
		panic(fmt.Sprintf("entry (%d, %d) outside a matrix of size %d", i, j, b.n))
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
	order := countingSort(b.col, n)
	// A mesh has some four places to a column, each added to several times.
	capacity := min(total+n, 5*n)
	m := &Matrix{N: n, Start: make([]int, n+1), Row: make([]int32, 0, capacity),
		Value: make([]float64, 0, capacity)}
	place := make([]int, n) // one past where each row was last put
	at := 0
	for j := range n {
		lo := len(m.Row)
		m.Start[j] = lo
		m.Row, m.Value = append(m.Row, int32(j)), append(m.Value, 0)
		place[j] = lo + 1
		for ; at < total && b.col[order[at]] == int32(j); at++ {
			k := order[at]
			i := b.row[k]
			if place[i] > lo {
				m.Value[place[i]-1] += b.value[k]
				continue
			}
			m.Row, m.Value = append(m.Row, i), append(m.Value, b.value[k])
			place[i] = len(m.Row)
		}
		sortRows(m.Row[lo:], m.Value[lo:])
	}
	m.Start[n] = len(m.Row)
	return m
}

// maxInsertionSort is up to how many rows are sorted by putting each into its place.
const maxInsertionSort = 24

// sortRows sorts a column by its rows, which differ.
func sortRows(row []int32, value []float64) {
	if len(row) > maxInsertionSort {
		by := make([]int32, len(row)) // where each came from
		for k := range by {
			by[k] = int32(k)
		}
		slices.SortFunc(by, func(a, b int32) int { return int(row[a]) - int(row[b]) })
		rows, values := slices.Clone(row), slices.Clone(value)
		for k, from := range by {
			row[k], value[k] = rows[from], values[from]
		}
		return
	}
	for k := 1; k < len(row); k++ {
		r, v := row[k], value[k]
		i := k
		for ; i > 0 && row[i-1] > r; i-- {
			row[i], value[i] = row[i-1], value[i-1]
		}
		row[i], value[i] = r, v
	}
}

// countingSort returns the indices of key sorted by key (0 <= key < n), those
// with equal keys ascending.
func countingSort(key []int32, n int) []int32 {
	next := make([]int32, n+1)
	for _, k := range key {
		next[k+1]++
	}
	for i := 0; i < n; i++ {
		next[i+1] += next[i]
	}
	out := make([]int32, len(key))
	for i, k := range key {
		out[next[k]] = int32(i)
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
	if m.N < 0 || len(m.Start) != m.N+1 || m.Start[0] != 0 || m.Start[m.N] != len(m.Row) ||
		len(m.Row) != len(m.Value) {
		return fmt.Errorf("matrix of size %d: lengths of its slices disagree", m.N)
	}
	if len(m.Row) > math.MaxInt32 {
		return fmt.Errorf("matrix of size %d: %d entries are more than can be numbered", m.N, len(m.Row))
	}
	for j := 0; j < m.N; j++ {
		lo, hi := m.Start[j], m.Start[j+1]
		if hi <= lo || hi > len(m.Row) || m.Row[lo] != int32(j) {
			return fmt.Errorf("column %d does not begin with its diagonal entry", j)
		}
		for k := lo + 1; k < hi; k++ {
			if m.Row[k] <= m.Row[k-1] || int(m.Row[k]) >= m.N {
				return fmt.Errorf("column %d: rows not ascending below %d", j, m.N)
			}
		}
	}
	return nil
}

func checkLength(what string, n int, lengths ...int) {
	for _, l := range lengths {
		if l != n {
			panic(fmt.Sprintf("%s: vector of length %d for a matrix of size %d", what, l, n))
		}
	}
}
