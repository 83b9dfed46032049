package main

import "strconv"

// drawComponents writes the component layer: for each part a flash at its
// middle with its attributes, the outline of its body, and its pins.
func drawComponents(w *gerberWriter, b *board) {
	for _, p := range b.parts {
		attrs := []attribute{
			attr(".C", p.ref), attr(".CRot", strconv.Itoa(p.rot)), attr(".CVal", p.value),
			attr(".CMnt", p.mount), attr(".CFtp", p.footprint),
		}
		w.aperture("C,0.300", "ComponentMain")
		w.with(attrs...)
		w.flash(p.at)
		w.aperture("C,0.100", "ComponentOutline,Body")
		w.with(attr(".C", p.ref))
		w.chain(corners(p.body))
		for k, i := range p.lands {
			l := b.lands[i]
			if k == 0 {
				w.aperture("P,0.360X4X0.0", "ComponentPin")
			} else {
				w.aperture("C,0", "ComponentPin")
			}
			w.with(attr(".C", p.ref), attr(".P", l.ref, l.pin), b.netAttr(l))
			w.flash(l.at)
		}
	}
}

// corners of a rectangle, counter-clockwise.
func corners(s shape) []point {
	var ring []point
	for _, e := range s.edges() {
		ring = append(ring, e[0])
	}
	return ring
}
