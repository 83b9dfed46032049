package suspect

import (
	"math"

	"ohmward/internal/geom"
)

// gaps samples copper of one group facing copper of the other on every layer.
func (s *scene) gaps(step float64) []Site {
	var out []Site
	for l := range s.layerCount() {
		out = append(out, s.gapsOn(l, step)...)
	}
	return out
}

// gapsOn walks the outline of the group with less of it, then adds what only
// the other group's outline sees.
func (s *scene) gapsOn(layer int, step float64) []Site {
	e := s.edges[layer]
	if len(e.rings[0]) == 0 || len(e.rings[1]) == 0 {
		return nil
	}
	first := 0
	if e.length[1] < e.length[0] {
		first = 1
	}
	taken := spots{cell: step * 0.75}
	var out []Site
	for _, group := range []int{first, 1 - first} {
		for _, ring := range e.rings[group] {
			if !ring.Bounds().Grow(nm(s.q.Reach)).Touches(e.bounds[1-group]) {
				continue
			}
			alongRing(ring, step, func(p geom.Point, length float64) {
				if site, ok := s.face(layer, group, p); ok && taken.add(site) {
					site.Length = length
					s.judgeGap(&site, s.pads)
					out = append(out, site)
				}
			})
		}
	}
	return out
}

// alongRing visits evenly spaced points of a ring, about step metres apart,
// each standing for length metres.
func alongRing(ring geom.Ring, step float64, visit func(p geom.Point, length float64)) {
	var total float64
	for i, p := range ring {
		total += metres(p, ring[(i+1)%len(ring)])
	}
	n := max(1, int(math.Round(total/step)))
	length := total / float64(n)
	next, done := length/2, 0.0
	for i, p := range ring {
		q := ring[(i+1)%len(ring)]
		d := metres(p, q)
		for ; next <= done+d && d > 0; next += length {
			t := (next - done) / d
			visit(geom.Point{
				X: p.X + int64(math.Round(t*float64(q.X-p.X))),
				Y: p.Y + int64(math.Round(t*float64(q.Y-p.Y))),
			}, length)
		}
		done += d
	}
}

// face finds the copper of the other group that a point on the outline of one
// group faces: the nearest within reach with nothing between.
func (s *scene) face(layer, group int, p geom.Point) (Site, bool) {
	e := s.edges[layer]
	q, gap, ok := e.nearest(1-group, p, s.q.Reach)
	if !ok || e.blocked(p, q) {
		return Site{}, false
	}
	site := Site{Kind: Gap, LayerA: layer, LayerB: layer, A: p, B: q, Gap: gap}
	if group == 1 {
		site.A, site.B = q, p
	}
	return site, true
}

// judgeGap fills in what covers and surrounds a gap between nets with the
// given pads, and its rate.
func (s *scene) judgeGap(site *Site, pads [2][]int) {
	layer := site.LayerA
	inner := layer > 0 && layer < s.layerCount()-1
	padA, padB := s.nearPad(pads[0], layer, site.A), s.nearPad(pads[1], layer, site.B)
	site.Near = names(padA, padB)
	bare := 0
	if !inner {
		for _, p := range []geom.Point{site.A, site.B} {
			if s.bare(layer, p) {
				bare++
			}
		}
		site.Hidden = s.hidden(layer, midpoint(site.A, site.B))
	}
	site.Covered = bare < 2
	samePart := padA.ref != "" && padA.ref == padB.ref && padA.distance < 0.7e-3 && padB.distance < 0.7e-3
	site.Prior = s.q.Rates.gap(site, inner, s.pasteNear(layer, site.A, site.B), samePart, bare)
}

func midpoint(a, b geom.Point) geom.Point {
	return geom.Point{X: (a.X + b.X) / 2, Y: (a.Y + b.Y) / 2}
}

// spots remembers where samples are, so that both outlines of one gap do not
// count it twice.
type spots struct {
	cell float64 // metres
	at   map[[2]int][][2]float64
}

// add reports whether a sample is farther than a cell from all before it that
// came from the other outline, and remembers it.
func (t *spots) add(s Site) bool {
	if t.at == nil {
		t.at = map[[2]int][][2]float64{}
	}
	x, y := s.Mid()
	x, y = x*1e-3, y*1e-3
	i, j := int(math.Floor(x/t.cell)), int(math.Floor(y/t.cell))
	for di := -1; di <= 1; di++ {
		for dj := -1; dj <= 1; dj++ {
			for _, p := range t.at[[2]int{i + di, j + dj}] {
				if math.Hypot(p[0]-x, p[1]-y) < t.cell {
					return false
				}
			}
		}
	}
	t.at[[2]int{i, j}] = append(t.at[[2]int{i, j}], [2]float64{x, y})
	return true
}
