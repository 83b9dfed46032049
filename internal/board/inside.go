package board

import (
	"cmp"
	"slices"

	"ohmward/geom"
)

// InsidePoints gives places inside a region, the middles of wide stretches at
// several heights. It may be empty for shapes thinner than a few nanometres.
func InsidePoints(r geom.Region) []geom.Point {
	var rings []geom.Ring
	r.Rings(func(ring geom.Ring) { rings = append(rings, ring) })
	return insidePoints(rings)
}

// scanLevels are the heights, as shares of a shape's height, at which
// insidePoints looks for copper.
var scanLevels = []float64{0.5, 0.25, 0.75, 0.1, 0.9, 0.02, 0.98, 0.37, 0.63}

// insidePoints gives places inside the non-zero filling of rings, the widest
// stretch of each scanned height first. The slice may be empty for shapes
// thinner than a few nanometres.
func insidePoints(rings []geom.Ring) []geom.Point {
	b := ringsBox(rings)
	if b.Empty() {
		return nil
	}
	var out []geom.Point
	for _, s := range scanLevels {
		y := float64(b.Min.Y) + s*float64(b.Max.Y-b.Min.Y)
		out = append(out, stretches(rings, int64(y))...)
	}
	return out
}

// crossing is where a scan line at half a nanometre above y cuts an edge.
type crossing struct {
	x   float64
	dir int
}

// stretches gives the middles of the up to three widest filled stretches at
// height y.
func stretches(rings []geom.Ring, y int64) []geom.Point {
	level := float64(y) + 0.5
	var cut []crossing
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
			cut = append(cut, crossing{float64(lo.X) + t*float64(hi.X-lo.X), up})
		}
	}
	slices.SortFunc(cut, func(a, b crossing) int { return cmp.Compare(a.x, b.x) })
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
	var out []geom.Point
	for _, s := range all[:min(3, len(all))] {
		if s.to-s.from >= 8 {
			out = append(out, geom.Point{X: int64((s.from + s.to) / 2), Y: y})
		}
	}
	return out
}

func ringsBox(rings []geom.Ring) geom.Box {
	b := geom.EmptyBox()
	for _, r := range rings {
		b = b.Join(r.Bounds())
	}
	return b
}

func boxMid(b geom.Box) geom.Point {
	return geom.Point{X: b.Min.X + (b.Max.X-b.Min.X)/2, Y: b.Min.Y + (b.Max.Y-b.Min.Y)/2}
}

// winding counts how often the rings wind around p; places on an edge count
// as on either side.
func winding(rings []geom.Ring, p geom.Point) int {
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
