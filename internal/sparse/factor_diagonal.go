package sparse

import "math"

// factorDiagonal factors a 4 by 4 block, stored by columns, lower triangle,
// and leaves the reciprocals of its diagonal. It returns the first column
// whose pivot is not above minPivot, or -1.
func factorDiagonal(d, minPivot []float64) int {
	d = d[:16]
	for j := range 4 {
		pivot := d[5*j]
		if !(pivot > minPivot[j]) || pivot > math.MaxFloat64 {
			return j
		}
		root := math.Sqrt(pivot)
		scale := 1 / root
		d[5*j] = scale
		for i := j + 1; i < 4; i++ {
			d[4*j+i] *= scale
		}
		for k := j + 1; k < 4; k++ {
			for i := k; i < 4; i++ {
				d[4*k+i] -= d[4*j+i] * d[4*j+k]
			}
		}
	}
	return -1
}
