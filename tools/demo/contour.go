package main

import "math"

// raster samples a scalar over the board every rasterStep micrometres; a
// margin of one sample all round keeps every contour closed.
const (
	rasterStep = 50
	rasterX    = boardW/rasterStep + 3
	rasterY    = boardH/rasterStep + 3
)

type raster []float64

func newRaster(v float64) raster {
	r := make(raster, rasterX*rasterY)
	for i := range r {
		r[i] = v
	}
	return r
}

// samplePoint is the place of sample i.
func samplePoint(i int) point {
	return point{(i%rasterX - 1) * rasterStep, (i/rasterX - 1) * rasterStep}
}

// sampleAt is the sample nearest to a place.
func sampleAt(p point) int {
	return ((p.y+rasterStep/2)/rasterStep+1)*rasterX + (p.x+rasterStep/2)/rasterStep + 1
}

// lower brings the samples within reach of a shape down to its distance
// less extra.
func (r raster) lower(s shape, reach, extra int) {
	lo, hi := s.bounds()
	reach += extra
	x0, x1 := max(0, (lo.x-reach)/rasterStep), min(rasterX-1, (hi.x+reach)/rasterStep+2)
	y0, y1 := max(0, (lo.y-reach)/rasterStep), min(rasterY-1, (hi.y+reach)/rasterStep+2)
	for y := y0; y <= y1; y++ {
		for x := x0; x <= x1; x++ {
			i := y*rasterX + x
			p := samplePoint(i)
			r[i] = min(r[i], s.dist(float64(p.x), float64(p.y))-float64(extra))
		}
	}
}

// contours gives the closed curves on which the raster equals level. Samples
// at or above level are inside and lie to the left; outer curves run
// counter-clockwise, holes clockwise. Diagonal neighbours are kept apart.
func (r raster) contours(level float64) [][]point {
	next := map[int]int{} // edge crossed on leaving a cell, by edge crossed on entering
	var starts []int
	for y := range rasterY - 1 {
		for x := range rasterX - 1 {
			for _, e := range r.cell(x, y, level) {
				next[e[0]] = e[1]
				starts = append(starts, e[0])
			}
		}
	}
	var rings [][]point
	for _, s := range starts {
		if _, ok := next[s]; !ok {
			continue
		}
		var ring []point
		for e := s; ; {
			to, ok := next[e]
			if !ok {
				break
			}
			delete(next, e)
			ring = append(ring, r.cut(e, level))
			e = to
		}
		rings = append(rings, ring)
	}
	return rings
}

// An edge of the raster is numbered 2·sample for the one to its right and
// 2·sample+1 for the one above it.

// cell gives the directed pieces of contour in one cell, edge to edge.
func (r raster) cell(x, y int, level float64) [][2]int {
	i := y*rasterX + x
	down, right, up, left := 2*i, 2*(i+1)+1, 2*(i+rasterX), 2*i+1
	in := func(k int) int {
		if r[k] >= level {
			return 1
		}
		return 0
	}
	// Corner bits: 1 lower left, 2 lower right, 4 upper right, 8 upper left.
	switch in(i) | in(i+1)<<1 | in(i+rasterX+1)<<2 | in(i+rasterX)<<3 {
	case 1:
		return [][2]int{{down, left}}
	case 2:
		return [][2]int{{right, down}}
	case 3:
		return [][2]int{{right, left}}
	case 4:
		return [][2]int{{up, right}}
	case 5:
		return [][2]int{{down, left}, {up, right}}
	case 6:
		return [][2]int{{up, down}}
	case 7:
		return [][2]int{{up, left}}
	case 8:
		return [][2]int{{left, up}}
	case 9:
		return [][2]int{{down, up}}
	case 10:
		return [][2]int{{right, down}, {left, up}}
	case 11:
		return [][2]int{{right, up}}
	case 12:
		return [][2]int{{left, right}}
	case 13:
		return [][2]int{{down, right}}
	case 14:
		return [][2]int{{left, down}}
	}
	return nil
}

// cut is where the level crosses an edge, to the micrometre.
func (r raster) cut(edge int, level float64) point {
	i := edge / 2
	j, p := i+1, samplePoint(i)
	if edge%2 == 1 {
		j = i + rasterX
	}
	t := int(math.Round((level - r[i]) / (r[j] - r[i]) * rasterStep))
	if edge%2 == 1 {
		return point{p.x, p.y + t}
	}
	return point{p.x + t, p.y}
}

// simplify drops the points of a ring that lie within tolerance of the line
// between those kept.
func simplify(ring []point, tolerance float64) []point {
	if len(ring) < 4 {
		return ring
	}
	far := 0
	for i := range ring {
		if reach(ring[i], ring[0]) > reach(ring[far], ring[0]) {
			far = i
		}
	}
	closed := append(append([]point(nil), ring...), ring[0])
	kept := []point{ring[0]}
	kept = thinOut(kept, closed[:far+1], tolerance)
	kept = thinOut(kept, closed[far:], tolerance)
	return kept[:len(kept)-1]
}

// thinOut appends to kept what must stay of a chain, without its first point.
func thinOut(kept, chain []point, tolerance float64) []point {
	last := len(chain) - 1
	worst, at := tolerance, 0
	for i := 1; i < last; i++ {
		d := segDist(float64(chain[i].x), float64(chain[i].y), chain[0], chain[last])
		if d > worst {
			worst, at = d, i
		}
	}
	if at == 0 {
		return append(kept, chain[last])
	}
	kept = thinOut(kept, chain[:at+1], tolerance)
	return thinOut(kept, chain[at:], tolerance)
}

// area2 is twice the signed area of a ring.
func area2(ring []point) int {
	sum := 0
	for i, p := range ring {
		q := ring[(i+1)%len(ring)]
		sum += p.x*q.y - q.x*p.y
	}
	return sum
}

// inRing tells whether a point lies inside a ring (even-odd).
func inRing(p point, ring []point) bool {
	in := false
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		if (a.y > p.y) != (b.y > p.y) {
			if t := turn(a, b, p); (t > 0) == (b.y > a.y) && t != 0 {
				in = !in
			}
		}
	}
	return in
}
