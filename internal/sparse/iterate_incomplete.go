package sparse

import "math"

// shifts are by how much diagonals are raised, one after the other, until an
// incomplete factorisation meets positive pivots only.
var shifts = []float64{0, 1e-3, 1e-2, 0.05, 0.2, 1, 5}

// incompleteCholesky is L of A + E = L L' with L where A has entries and E what that
// leaves out. Where pivots vanish the diagonal is raised and it begins anew.
func incompleteCholesky(m *Matrix) (*Matrix, error) {
	bad := 0
	for _, shift := range shifts {
		l := &Matrix{N: m.N, Start: m.Start, Row: m.Row, Value: append([]float64(nil), m.Value...)}
		for j := range l.N {
			l.Value[l.Start[j]] *= 1 + shift
		}
		if bad = l.factorInPattern(m); bad < 0 {
			return l, nil
		}
	}
	return nil, &NotPositiveError{Unknown: bad}
}

// minPivotRatio is the share of its diagonal entry that a pivot must keep.
const minPivotRatio = 1e-4

// factorInPattern factors in place; it gives the column that failed, or -1.
func (l *Matrix) factorInPattern(m *Matrix) int {
	for j := range l.N {
		lo, end := l.Start[j], l.Start[j+1]
		pivot := l.Value[lo]
		if !(pivot > minPivotRatio*m.Value[lo]) || pivot > math.MaxFloat64 {
			return j
		}
		root := math.Sqrt(pivot)
		l.Value[lo] = root
		for k := lo + 1; k < end; k++ {
			l.Value[k] /= root
		}
		for k := lo + 1; k < end; k++ {
			// Column i less l_ij times column j, where i has entries.
			i := l.Row[k]
			at, stop := l.Start[i], l.Start[i+1]
			for q := k; q < end; q++ {
				for at < stop && l.Row[at] < l.Row[q] {
					at++
				}
				if at < stop && l.Row[at] == l.Row[q] {
					l.Value[at] -= l.Value[k] * l.Value[q]
				}
			}
		}
	}
	return -1
}
