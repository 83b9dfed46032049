package ipc2581

import (
	"math"
	"strconv"

	"ohmward/geom"
)

// disc is a donut's or thermal's outer or inner boundary: of a square the
// side, of the others the diameter through the corners.
func disc(shape string, d float64) geom.Ring {
	h := d / 2
	switch shape {
	case "SQUARE":
		return corners(-h, -h, h, -h, h, h, -h, h)
	case "HEXAGON":
		return regular("Hexagon", h)
	case "OCTAGON":
		return regular("Octagon", h)
	}
	return geom.Circle(geom.Point{}, int64(math.Round(h)), chord)
}

// annulus is a disc without a smaller one.
func annulus(shape string, outer, inner float64) []geom.Ring {
	out := one(disc(shape, outer))
	if hole := one(disc(shape, inner)); hole != nil && inner < outer {
		return append(out, hole[0].Reverse())
	} else if inner >= outer {
		return nil
	}
	return out
}

func (r *reader) donut(e *element) ([]geom.Ring, error) {
	d, err := r.sizes(e, "outerDiameter", "innerDiameter")
	if err != nil {
		return nil, err
	}
	return annulus(e.attr("shape"), d[0], d[1]), nil
}

// thermal is a donut with gaps cut through it.
func (r *reader) thermal(e *element) ([]geom.Ring, error) {
	d, err := r.sizes(e, "outerDiameter", "innerDiameter")
	if err != nil {
		return nil, err
	}
	ring := annulus(e.attr("shape"), d[0], d[1])
	name := "gap"
	if e.attr(name) == "" {
		name = "spokeWidth" // revision C
	}
	gap, err := r.length(e, name)
	if err != nil {
		return nil, err
	}
	start, err := r.real(e, "spokeStartAngle", 0)
	if err != nil {
		return nil, err
	}
	count := 4
	if text := e.attr("spokeCount"); text != "" {
		if count, err = strconv.Atoi(text); err != nil || count < 0 || count > 64 {
			return nil, r.Malformed("spokeCount is not a small number: %q", shorten(text))
		}
	}
	if gap <= 0 || count == 0 || math.Abs(start) > 1e6 {
		return ring, nil
	}
	var cuts []geom.Ring
	for k := range count {
		cut := corners(0, -gap/2, d[0], -gap/2, d[0], gap/2, 0, gap/2)
		cuts = append(cuts, cut.Rotate(geom.Point{}, start+360*float64(k)/float64(count)))
	}
	return regionRings(geom.Difference(geom.Fill(ring, geom.NonZero), geom.Fill(cuts, geom.NonZero))), nil
}

// moire is a target of rings about the centre with a cross.
func (r *reader) moire(e *element) ([]geom.Ring, error) {
	d, err := r.sizes(e, "diameter", "ringWidth", "ringGap")
	if err != nil {
		return nil, err
	}
	count := 0
	if text := e.attr("ringNumber"); text != "" {
		if count, err = strconv.Atoi(text); err != nil || count < 0 || count > 1000 {
			return nil, r.Malformed("ringNumber is not a small number: %q", shorten(text))
		}
	}
	var all []geom.Ring
	for outer := d[0]; count > 0 && outer > 0; count-- {
		all = append(all, annulus("ROUND", outer, outer-2*d[1])...)
		outer -= 2 * (d[1] + d[2])
		if d[1]+d[2] <= 0 {
			break
		}
	}
	return r.cross(e, all)
}

// cross adds a moire's two lines.
func (r *reader) cross(e *element, all []geom.Ring) ([]geom.Ring, error) {
	w, err := r.length(e, "lineWidth")
	if err != nil {
		return nil, err
	}
	l, err := r.length(e, "lineLength")
	if err != nil {
		return nil, err
	}
	angle, err := r.real(e, "lineAngle", 0)
	if err != nil {
		return nil, err
	}
	if w > 0 && l > 0 && math.Abs(angle) < 1e6 {
		for _, turn := range []float64{0, 90} {
			bar := corners(-l/2, -w/2, l/2, -w/2, l/2, w/2, -l/2, w/2)
			all = append(all, bar.Rotate(geom.Point{}, angle+turn))
		}
	}
	return all, nil
}

// butterfly is two quarters of a disc or square that meet at the centre. The
// format's figure fills those where x and y have one sign; writers may differ,
// which is told.
func (r *reader) butterfly(e *element) ([]geom.Ring, error) {
	size := "diameter"
	square := e.attr("shape") == "SQUARE"
	if square && e.attr("side") != "" {
		size = "side"
	}
	d, err := r.sizes(e, size)
	if err != nil {
		return nil, err
	}
	r.WarnOnce("a Butterfly primitive is drawn in the first and third quadrant; some writers mean the others")
	h := math.Round(d[0] / 2)
	quarter := corners(0, 0, h, 0, h, h, 0, h)
	if !square {
		a, b := corner(h, 0), corner(0, h)
		quarter = geom.Ring{{}, a}
		quarter = append(append(quarter, geom.ArcPoints(a, b, geom.Point{}, true, chord)...), b)
	}
	if one(quarter) == nil {
		return nil, nil
	}
	return []geom.Ring{quarter, quarter.Rotate(geom.Point{}, 180)}, nil
}
