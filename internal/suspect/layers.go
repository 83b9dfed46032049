package suspect

import (
	"math"

	"ohmward/geom"
	"ohmward/internal/board"
)

// layers lists drilled holes of one group that pass through copper of the
// other, and where the groups lie over each other on neighbouring layers.
func (s *scene) layers() []Site {
	var out []Site
	for g, nets := range s.q.Groups {
		for _, n := range nets {
			for _, h := range s.q.Nets.Nets[n].Holes {
				out = append(out, s.holeSites(g, h)...)
			}
		}
	}
	for l := range s.layerCount() - 1 {
		out = append(out, s.overlap(l)...)
	}
	return out
}

// holeReach is the widest clearance round a hole that a misplaced or rough
// drilling crosses, metres.
const holeReach = 0.4e-3

// wallSlack is how far (metres) outside a hole's wall its land is looked for.
const wallSlack = 20e-6

// holeSites looks on each layer of a hole's span for the other group's copper
// with no land of the hole's own between.
func (s *scene) holeSites(group, hole int) []Site {
	h := s.q.Board.Holes[hole]
	radius := float64(h.Diameter) / 2 * 1e-9
	var out []Site
	for l := h.First; l <= h.Last; l++ {
		axis, q, d, ok := nearestToHole(s.edges[l].own[1-group], h, radius+holeReach)
		if !ok || d <= radius {
			continue
		}
		if s.groupAt(l, along(axis, q, (radius+wallSlack)/d)) == group {
			continue // the hole has a land here: a gap like any other
		}
		site := Site{Kind: Layers, LayerA: l, LayerB: l, A: axis, B: q, Gap: d - radius}
		if group == 1 {
			site.A, site.B = q, axis
		}
		site.Near = names(s.near[0].nearest(l, q), s.near[1].nearest(l, q))
		site.Covered = true
		site.Hidden = s.outer(l) && s.hidden(l, q)
		site.Prior = s.q.Rates.Hole * math.Exp(-site.Gap/s.q.Rates.GapFall)
		out = append(out, site)
	}
	return out
}

// nearestToHole gives the place of some copper that is nearest to a hole's or
// slot's axis, within reach metres of it, and the place on the axis.
func nearestToHole(copper *geom.EdgeIndex, h board.Hole,
	reach float64) (axis, q geom.Point, d float64, ok bool) {
	if h.At == h.To {
		f, ok := copper.Nearest(h.At, nm(reach), nil)
		return h.At, f.On.Round(), f.Dist * 1e-9, ok
	}
	best := math.Inf(1)
	for _, f := range copper.Near(geom.Segment{A: h.At, B: h.To}, nm(reach), nil) {
		if f.Dist < best {
			axis, q, best, ok = f.At.Round(), f.On.Round(), f.Dist, true
		}
	}
	return axis, q, best * 1e-9, ok
}

// mostOverlaps bounds the samples of one pair of layers.
const mostOverlaps = 150

// overlap samples where one group lies over the other on layers l and l+1.
func (s *scene) overlap(l int) []Site {
	var out []Site
	for g := range 2 {
		up, down := s.edges[l], s.edges[l+1]
		box := meetBox(up.bounds[g], down.bounds[1-g])
		if box.Empty() {
			continue
		}
		area := float64(box.Max.X-box.Min.X) * float64(box.Max.Y-box.Min.Y) * 1e-18
		pitch := math.Max(0.5e-3, math.Sqrt(area/mostOverlaps))
		for x := box.Min.X + nm(pitch/2); x <= box.Max.X; x += nm(pitch) {
			for y := box.Min.Y + nm(pitch/2); y <= box.Max.Y; y += nm(pitch) {
				p := geom.Point{X: x, Y: y}
				if s.groupAt(l, p) != g || s.groupAt(l+1, p) != 1-g {
					continue
				}
				site := Site{Kind: Layers, LayerA: l, LayerB: l + 1, A: p, B: p, Covered: true, Length: pitch}
				if g == 1 {
					site.LayerA, site.LayerB = l+1, l
				}
				site.Prior = s.q.Rates.Layer * pitch * pitch * 1e6
				out = append(out, site)
			}
		}
	}
	return out
}

func meetBox(a, b geom.Box) geom.Box {
	return geom.Box{Min: geom.Point{X: max(a.Min.X, b.Min.X), Y: max(a.Min.Y, b.Min.Y)},
		Max: geom.Point{X: min(a.Max.X, b.Max.X), Y: min(a.Max.Y, b.Max.Y)}}
}
