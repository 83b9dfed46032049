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

func (r *reader) donut(e *element) []geom.Ring {
	return annulus(e.attr("shape"), r.size(e, "outerDiameter"), r.size(e, "innerDiameter"))
}

// thermal is a donut with gaps cut through it.
func (r *reader) thermal(e *element) []geom.Ring {
	outer := r.size(e, "outerDiameter")
	ring := annulus(e.attr("shape"), outer, r.size(e, "innerDiameter"))
	name := "gap"
	if e.attr(name) == "" {
		name = "spokeWidth" // revision C
	}
	gap := r.length(e, name)
	start := r.real(e, "spokeStartAngle", 0)
	count := r.few(e, "spokeCount", 4, 64)
	if gap <= 0 || count == 0 || math.Abs(start) > 1e6 {
		return ring
	}
	var cuts []geom.Ring
	for k := range count {
		cut := corners(0, -gap/2, outer, -gap/2, outer, gap/2, 0, gap/2)
		cuts = append(cuts, cut.Rotate(geom.Point{}, start+360*float64(k)/float64(count)))
	}
	return geom.Difference(geom.Fill(ring, geom.NonZero), geom.Fill(cuts, geom.NonZero)).AllRings()
}

// few reads a small count.
func (r *reader) few(e *element, name string, missing, most int) int {
	text := e.attr(name)
	if text == "" {
		return missing
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 0 || n > most {
		panic(r.Malformed("%s is not a small number: %q", name, shorten(text)))
	}
	return n
}

// moire is a target of rings about the centre with a cross.
func (r *reader) moire(e *element) []geom.Ring {
	outer, width, gap := r.size(e, "diameter"), r.size(e, "ringWidth"), r.size(e, "ringGap")
	var all []geom.Ring
	for range r.few(e, "ringNumber", 0, 1000) {
		if outer <= 0 {
			break
		}
		all = append(all, annulus("ROUND", outer, outer-2*width)...)
		if width+gap <= 0 {
			break
		}
		outer -= 2 * (width + gap)
	}
	return r.cross(e, all)
}

// cross adds a moire's two lines.
func (r *reader) cross(e *element, all []geom.Ring) []geom.Ring {
	w := r.length(e, "lineWidth")
	l := r.length(e, "lineLength")
	angle := r.real(e, "lineAngle", 0)
	if w > 0 && l > 0 && math.Abs(angle) < 1e6 {
		for _, turn := range []float64{0, 90} {
			bar := corners(-l/2, -w/2, l/2, -w/2, l/2, w/2, -l/2, w/2)
			all = append(all, bar.Rotate(geom.Point{}, angle+turn))
		}
	}
	return all
}

// butterfly is two quarters of a disc or square that meet at the centre. The
// format's figure fills those where x and y have one sign; writers may differ,
// which is told.
func (r *reader) butterfly(e *element) []geom.Ring {
	size := "diameter"
	square := e.attr("shape") == "SQUARE"
	if square && e.attr("side") != "" {
		size = "side"
	}
	h := math.Round(r.size(e, size) / 2)
	r.WarnOnce("a Butterfly primitive is drawn in the first and third quadrant; some writers mean the others")
	quarter := corners(0, 0, h, 0, h, h, 0, h)
	if !square {
		a, b := corner(h, 0), corner(0, h)
		quarter = geom.Ring{{}, a}
		quarter = append(append(quarter, geom.ArcPoints(a, b, geom.Point{}, true, chord)...), b)
	}
	if one(quarter) == nil {
		return nil
	}
	return []geom.Ring{quarter, quarter.Rotate(geom.Point{}, 180)}
}
