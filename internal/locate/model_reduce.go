package locate

import "math"

// Fewer readings than unknown factors leave most directions of θ as the prior
// has them. With the loadings U = L·Q, L lower triangular and the rows of Q
// orthonormal, the readings see θ only through t = Q·θ, which is standard
// normal too: all sums are done on L in as many dimensions as there are
// readings, and come out the same.

// linear is the part of a row below which what is left of it is rounding.
const linear = 1e-12

// reduce puts L into w.u and Q into w.q, from the loadings in w.full.
func (m *model) reduce(w *workspace) {
	n, d := m.cols, m.dims
	if d == n {
		copy(w.u, w.full)
		return
	}
	copy(w.q, w.full)
	clear(w.u)
	for i := range d {
		row := w.q[i*n : (i+1)*n]
		size := dot(row, row)
		for range 2 { // once more takes out what rounding left
			for j := range i {
				q := w.q[j*n : (j+1)*n]
				x := dot(q, row)
				w.u[i*d+j] += x
				for l, v := range q {
					row[l] -= x * v
				}
			}
		}
		rest := math.Sqrt(dot(row, row))
		if rest*rest <= linear*linear*size {
			clear(row) // says what others say
			continue
		}
		w.u[i*d+i] = rest
		for l := range row {
			row[l] /= rest
		}
	}
}

// along puts into to what a further loading of θ has along the directions that
// the readings see.
func (m *model) along(w *workspace, load, to []float64) {
	n := m.cols
	if m.dims == n {
		copy(to, load)
		return
	}
	for i := range m.dims {
		to[i] = dot(w.q[i*n:(i+1)*n], load)
	}
}
