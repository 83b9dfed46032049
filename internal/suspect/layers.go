package suspect

import (
	"math"

	"ohmward/internal/geom"
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

// holeSites looks on each layer of a hole's span for the other group's copper
// with no land of the hole's own between.
func (s *scene) holeSites(group, hole int) []Site {
	h := s.q.Board.Holes[hole]
	radius := float64(h.Diameter) / 2 * 1e-9
	var out []Site
	for l := h.From; l <= h.Til; l++ {
		e := s.edges[l]
		q, d, ok := e.nearest(1-group, h.At, radius+holeReach)
		if !ok || d <= radius {
			continue
		}
		t := (radius + 20e-6) / d
		wall := geom.Point{
			X: h.At.X + int64(math.Round(t*float64(q.X-h.At.X))),
			Y: h.At.Y + int64(math.Round(t*float64(q.Y-h.At.Y))),
		}
		if e.inside[group].Locate(wall) >= 0 {
			continue // the hole has a land here: a gap like any other
		}
		site := Site{Kind: Layers, LayerA: l, LayerB: l, A: h.At, B: q, Gap: d - radius}
		if group == 1 {
			site.A, site.B = q, h.At
		}
		site.Near = names(s.nearPad(s.pads[0], l, q), s.nearPad(s.pads[1], l, q))
		site.Covered = true
		site.Hidden = s.outer(l) && s.hidden(l, q)
		site.Prior = s.q.Rates.Hole * math.Exp(-site.Gap/s.q.Rates.GapFall)
		out = append(out, site)
	}
	return out
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
				if up.inside[g].Locate(p) < 0 || down.inside[1-g].Locate(p) < 0 {
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
	return geom.Box{
		Min: geom.Point{X: max(a.Min.X, b.Min.X), Y: max(a.Min.Y, b.Min.Y)},
		Max: geom.Point{X: min(a.Max.X, b.Max.X), Y: min(a.Max.Y, b.Max.Y)},
	}
}
