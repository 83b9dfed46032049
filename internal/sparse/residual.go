package sparse

import "math"

// Residual returns |b - A x| / (|A| |x| + |b|) in maximum norms: of the order
// of the rounding unit when x solves A x = b as well as can be, and NaN or
// infinite when x is.
func (f *Factor) Residual(m *Matrix, x, b []float64) float64 {
	checkLength("Residual", m.N, len(x), len(b))
	ax := make([]float64, m.N)
	m.Mul(ax, x)
	for i := range ax {
		ax[i] = b[i] - ax[i]
	}
	scale := m.norm()*maxNorm(x) + maxNorm(b)
	r := maxNorm(ax)
	if r == 0 {
		return 0
	}
	return r / scale
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
