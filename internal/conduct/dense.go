package conduct

import (
	"errors"
	"math"
	"slices"
)

var errDependent = errors.New("contacts depend on each other")

// reduce gives (E' G^-1 E)^-1 for a symmetric positive definite G (row-major,
// one row for each arc) and the 0/1 matrix E that assigns arcs to n owners.
func reduce(g []float64, owner []int, n int) ([]float64, error) {
	size := len(owner)
	l, err := regularised(g, size)
	if err != nil {
		return nil, err
	}
	x := make([]float64, size*n) // L^-1 E
	for i, o := range owner {
		x[i*n+o] = 1
	}
	forward(l, size, x, n)
	y := make([]float64, n*n)
	for i := range size {
		row := x[i*n : (i+1)*n]
		for a, va := range row {
			for b, vb := range row {
				y[a*n+b] += va * vb
			}
		}
	}
	return inverse(y, n)
}

// regularised factors an arcs' Green's function. Where arcs depend on each
// other (more of them than unknowns under a contact that the mesh does not
// follow), a resistor of 1e-10 of their own is put before each.
func regularised(g []float64, size int) ([]float64, error) {
	l := slices.Clone(g)
	if cholesky(l, size) {
		return l, nil
	}
	copy(l, g)
	var trace float64
	for i := range size {
		trace += g[i*size+i]
	}
	for i := range size {
		l[i*size+i] += 1e-10 * trace / float64(size)
	}
	if !cholesky(l, size) {
		return nil, errDependent
	}
	return l, nil
}

// currents gives the arcs' currents when flow enters the owners, with each at
// one potential: i = G^-1 E Z flow.
func currents(g []float64, owner []int, flow []float64) ([]float64, error) {
	size, n := len(owner), len(flow)
	z, err := reduce(g, owner, n)
	if err != nil {
		return nil, err
	}
	l, err := regularised(g, size)
	if err != nil {
		return nil, err
	}
	out := make([]float64, size)
	for i, o := range owner {
		for k, f := range flow {
			out[i] += z[n*o+k] * f
		}
	}
	solveCholesky(l, size, out)
	return out, nil
}

// forward solves L X = B in place of B, which has columns columns.
func forward(l []float64, n int, b []float64, columns int) {
	for i := range n {
		row := b[i*columns : (i+1)*columns]
		for k := range i {
			if f := l[i*n+k]; f != 0 {
				for c, v := range b[k*columns : (k+1)*columns] {
					row[c] -= f * v
				}
			}
		}
		for c := range row {
			row[c] /= l[i*n+i]
		}
	}
}

// cholesky overwrites the lower triangle of a (row-major) by its factor; it
// reports whether a is positive definite.
func cholesky(a []float64, n int) bool {
	for i := range n {
		ri := a[i*n:]
		for j := range i + 1 {
			rj := a[j*n:]
			sum := ri[j]
			for k := range j {
				sum -= ri[k] * rj[k]
			}
			if j < i {
				ri[j] = sum / rj[j]
			} else if sum <= 0 || math.IsNaN(sum) {
				return false
			} else {
				ri[i] = math.Sqrt(sum)
			}
		}
	}
	return true
}

// inverse gives the inverse of a small symmetric positive definite matrix.
func inverse(a []float64, n int) ([]float64, error) {
	if !cholesky(a, n) {
		return nil, errDependent
	}
	out := make([]float64, n*n)
	col := make([]float64, n)
	for c := range n {
		clear(col)
		col[c] = 1
		solveCholesky(a, n, col)
		for i := range n {
			out[i*n+c] = col[i]
		}
	}
	return out, nil
}

// solveCholesky solves L L' x = b in place of b.
func solveCholesky(l []float64, n int, b []float64) {
	forward(l, n, b, 1)
	for i := n - 1; i >= 0; i-- {
		for k := i + 1; k < n; k++ {
			b[i] -= l[k*n+i] * b[k]
		}
		b[i] /= l[i*n+i]
	}
}

// multiply gives a (n by k) times b (k by m), row-major.
func multiply(a, b []float64, n, k, m int) []float64 {
	out := make([]float64, n*m)
	for i := range n {
		row := out[i*m : (i+1)*m]
		for l := range k {
			if f := a[i*k+l]; f != 0 {
				for j, v := range b[l*m : (l+1)*m] {
					row[j] += f * v
				}
			}
		}
	}
	return out
}

// transposed of a matrix of n rows and m columns.
func transposed(a []float64, n, m int) []float64 {
	out := make([]float64, len(a))
	for i := range n {
		for j := range m {
			out[j*n+i] = a[i*m+j]
		}
	}
	return out
}
