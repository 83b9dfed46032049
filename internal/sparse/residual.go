package sparse

import (
	"fmt"
	"math"
	"sync/atomic"
)

// maxResidual is the scaled residual from which on a factor's solution is taken to be
// wrong. Rounding leaves less than a ten-thousandth of it.
const maxResidual = 1e-10

// failure is the first error that solves, on any core, have met.
type failure struct{ err atomic.Pointer[error] }

func (f *failure) fail(err error) { f.err.CompareAndSwap(nil, &err) }

func (f *failure) first() error {
	if err := f.err.Load(); err != nil {
		return *err
	}
	return nil
}

// Err is the first failure so far of Solve and SolveMany, of which every
// solution's residual is looked at, or of any iteration; nil if there was none.
func (f *Factor) Err() error {
	if f.iter != nil {
		return f.iter.first()
	}
	return f.failed.first()
}

// check notes a failure if x does not solve A x = b. It makes b the residual.
func (f *Factor) check(b, x []float64) {
	size := maxNorm(b)
	f.m.subtract(b, x)
	scale := f.norm()*maxNorm(x) + size
	if r := maxNorm(b); !(r <= maxResidual*scale) {
		f.failed.fail(fmt.Errorf("a solution for %d unknowns leaves a scaled residual of %.0e, more than "+
			"%.0e: look for values that are not finite; without any, the processor or this program is at fault",
			f.s.n, r/scale, maxResidual))
	}
}

// subtract takes A x from b.
func (m *Matrix) subtract(b, x []float64) {
	for j, xj := range x {
		lo, hi := m.Start[j], m.Start[j+1]
		sum := m.Value[lo] * xj
		for k := lo + 1; k < hi; k++ {
			i, v := m.Row[k], m.Value[k]
			b[i] -= v * xj
			sum += v * x[i]
		}
		b[j] -= sum
	}
}

// norm is the largest sum of absolute values along a row.
func (m *Matrix) norm() float64 {
	sum := make([]float64, m.N)
	for j := 0; j < m.N; j++ {
		for k := m.Start[j]; k < m.Start[j+1]; k++ {
			v := math.Abs(m.Value[k])
			sum[j] += v
			if i := int(m.Row[k]); i != j {
				sum[i] += v
			}
		}
	}
	return maxNorm(sum)
}

// maxNorm is the largest absolute value, NaN if any is.
func maxNorm(x []float64) float64 {
	largest := 0.0
	for _, v := range x {
		if v = math.Abs(v); v > largest || v != v {
			largest = v
		}
		if v != v {
			break
		}
	}
	return largest
}
