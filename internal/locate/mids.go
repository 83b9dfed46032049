package locate

import "ohmward/internal/suspect"

// mids gives the midpoints of the sites in millimetres.
func mids(sites []suspect.Site) (x, y []float64) {
	x, y = make([]float64, len(sites)), make([]float64, len(sites))
	for i, s := range sites {
		x[i], y[i] = s.Mid()
	}
	return x, y
}
