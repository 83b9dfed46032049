package gerber

import "ohmward/geom"

// paint resolves coats laid one over the other into rings with disjoint
// insides: outlines counter-clockwise, holes clockwise.
func paint(coats []geom.Coat) ([]geom.Ring, error) {
	region, err := geom.PaintBounded(coats)
	if err != nil {
		return nil, err
	}
	var out []geom.Ring
	region.Rings(func(r geom.Ring) { out = append(out, r) })
	return out, nil
}
