package geom

import (
	"cmp"
	"slices"
)

// scanLevels are the heights, as shares of a shape's height, at which
// InsidePoints looks for copper.
var scanLevels = []float64{0.5, 0.25, 0.75, 0.1, 0.9, 0.02, 0.98, 0.37, 0.63}

// InsidePoints gives places inside the region, as the function of this name does.
func (r Region) InsidePoints() []Point { return InsidePoints(r.AllRings()) }

// InsidePoints gives places inside the non-zero filling of rings, the middle
// of the widest stretch of each scanned height first. The slice may be empty
// for shapes thinner than a few nanometres.
func InsidePoints(rings []Ring) []Point {
	b := Bounds(rings)
	if b.Empty() {
		return nil
	}
	var out []Point
	for _, s := range scanLevels {
		y := float64(b.Min.Y) + s*float64(b.Max.Y-b.Min.Y)
		out = append(out, stretches(rings, int64(y))...)
	}
	return out
}

// scanCut is where a scan line at half a nanometre above y cuts an edge.
type scanCut struct {
	x   float64
	dir int
}

// stretches gives the middles of the up to three widest filled stretches at
// height y.
func stretches(rings []Ring, y int64) []Point {
	level := float64(y) + 0.5
	var cut []scanCut
	for _, r := range rings {
		for i, a := range r {
			b := r[(i+1)%len(r)]
			up := 1
			lo, hi := a, b
			if b.Y < a.Y {
				lo, hi, up = b, a, -1
			}
			if float64(lo.Y) > level || float64(hi.Y) <= level {
				continue
			}
			t := (level - float64(lo.Y)) / float64(hi.Y-lo.Y)
			cut = append(cut, scanCut{float64(lo.X) + t*float64(hi.X-lo.X), up})
		}
	}
	slices.SortFunc(cut, func(a, b scanCut) int { return cmp.Compare(a.x, b.x) })
	type stretch struct{ from, to float64 }
	var all []stretch
	wind := 0
	for i, c := range cut {
		was := wind
		wind += c.dir
		if was == 0 && wind != 0 {
			all = append(all, stretch{c.x, c.x})
		}
		if was != 0 && wind == 0 {
			all[len(all)-1].to = cut[i].x
		}
	}
	slices.SortStableFunc(all, func(a, b stretch) int { return cmp.Compare(b.to-b.from, a.to-a.from) })
	var out []Point
	for _, s := range all[:min(3, len(all))] {
		if s.to-s.from >= 8 {
			out = append(out, Point{X: int64((s.from + s.to) / 2), Y: y})
		}
	}
	return out
}

// Bounds is the box of all the rings.
func Bounds(rings []Ring) Box {
	b := EmptyBox()
	for _, r := range rings {
		b = b.Join(r.Bounds())
	}
	return b
}

// Mid is the middle of a box that is not empty, rounded down.
func (b Box) Mid() Point {
	return Point{X: b.Min.X + (b.Max.X-b.Min.X)/2, Y: b.Min.Y + (b.Max.Y-b.Min.Y)/2}
}

// Winding counts how often the rings wind around p; places on an edge count
// as on either side.
func Winding(rings []Ring, p Point) int {
	n := 0
	for _, r := range rings {
		for i, a := range r {
			b := r[(i+1)%len(r)]
			left := (b.X-a.X)*(p.Y-a.Y) - (p.X-a.X)*(b.Y-a.Y)
			switch {
			case a.Y <= p.Y && b.Y > p.Y && left > 0:
				n++
			case b.Y <= p.Y && a.Y > p.Y && left < 0:
				n--
			}
		}
	}
	return n
}

// FloorDiv is a/b rounded down, for b > 0: the cell of a grid that a lies in.
func FloorDiv(a, b int64) int64 {
	q := a / b
	if a%b != 0 && (a < 0) != (b < 0) {
		q--
	}
	return q
}

// Sample takes at most n of the points, spread evenly over the list.
func Sample(points []Point, n int) []Point {
	if len(points) <= n {
		return points
	}
	out := make([]Point, n)
	for i := range out {
		out[i] = points[i*len(points)/n]
	}
	return out
}
