package suspect

import (
	"math"
	"slices"
	"strings"

	"ohmward/internal/board"
	"ohmward/internal/geom"
)

// scene is the question with everything indexed that sampling asks for.
type scene struct {
	q      Question
	edges  []*edges // per layer
	mask   [2]*geom.Locator
	paste  [2]*geom.Locator
	pads   [2][]int // pads of each group
	bodies [2][]body
}

// body is a part's outline as far as it hides what lies under it.
type body struct {
	ref   string
	shape geom.Region
	box   geom.Box
}

func newScene(q Question) *scene {
	s := newSurface(q)
	for l := range q.Board.Layers {
		s.edges = append(s.edges, newEdges(q, l))
	}
	for g, nets := range q.Groups {
		for _, n := range nets {
			s.pads[g] = append(s.pads[g], q.Nets.Nets[n].Pads...)
		}
		slices.Sort(s.pads[g])
	}
	return s
}

// newSurface indexes what covers the board, whatever the nets.
func newSurface(q Question) *scene {
	s := &scene{q: q}
	for side := range 2 {
		if m := q.Board.Mask[side]; m != nil {
			s.mask[side] = geom.NewLocator(*m)
		}
		if p := q.Board.Paste[side]; p != nil {
			s.paste[side] = geom.NewLocator(*p)
		}
	}
	for _, p := range q.Board.Parts {
		if b, ok := newBody(q.Board, p); ok {
			s.bodies[p.Side] = append(s.bodies[p.Side], b)
		}
	}
	return s
}

func (s *scene) layerCount() int { return len(s.q.Board.Layers) }

// newBody is what a part covers. A body that was only guessed from the pads
// of a part with legs hides what lies inside its pads, not between them.
func newBody(b *board.Board, p board.Part) (body, bool) {
	if len(p.Body) < 3 {
		return body{}, false
	}
	shape := geom.Fill([]geom.Ring{p.Body}, geom.NonZero)
	if p.Guessed && len(p.Pads) > 2 {
		shape = geom.Offset(shape, -padReach(b, p), 20_000)
	}
	return body{p.Ref, shape, shape.Bounds()}, len(shape) > 0
}

// padReach is the longer side of the part's middling pad, in nanometres.
func padReach(b *board.Board, p board.Part) int64 {
	var sizes []int64
	for _, i := range p.Pads {
		box := b.Pads[i].Shape.Bounds()
		sizes = append(sizes, max(box.Max.X-box.Min.X, box.Max.Y-box.Min.Y))
	}
	slices.Sort(sizes)
	return sizes[len(sizes)/2]
}

// side gives the side of the board that an outer layer faces.
func (s *scene) side(layer int) board.Side {
	if layer == 0 {
		return board.Top
	}
	return board.Bottom
}

// outer tells whether a layer can be seen.
func (s *scene) outer(layer int) bool { return layer == 0 || layer == s.layerCount()-1 }

// bare tells whether the copper of an outer layer is free of mask at p.
func (s *scene) bare(layer int, p geom.Point) bool {
	m := s.mask[s.side(layer)]
	return m == nil || m.Locate(p) >= 0
}

// hidden tells whether a place on an outer layer lies under a part's body.
func (s *scene) hidden(layer int, p geom.Point) bool {
	for _, b := range s.bodies[s.side(layer)] {
		if b.box.Holds(p) && b.shape.Contains(p) {
			return true
		}
	}
	return false
}

// pasteReach is how far solder spreads from where it was printed, metres.
const pasteReach = 0.3e-3

// pasteNear tells whether solder was printed near one of the points. Where no
// paste data was given, any pad counts.
func (s *scene) pasteNear(layer int, points ...geom.Point) bool {
	if !s.outer(layer) {
		return false
	}
	l := s.paste[s.side(layer)]
	for _, p := range points {
		for _, d := range [][2]float64{{0, 0}, {1, 0}, {0, 1}, {-1, 0}, {0, -1}} {
			at := geom.Point{X: p.X + nm(d[0]*pasteReach), Y: p.Y + nm(d[1]*pasteReach)}
			if l == nil && s.bare(layer, p) || l != nil && l.Locate(at) >= 0 {
				return true
			}
		}
	}
	return false
}

// pin is a pad near a place.
type pin struct {
	name, ref string
	at        geom.Point
	layer     int
	distance  float64 // metres, from the pad's edge box
}

// nearReach is how far a pad may be and still name a place, metres.
const nearReach = 6e-3

// nearPad is the one of some pads nearest to p that a person could see from
// there: on the layer, or drilled through it.
func (s *scene) nearPad(pads []int, layer int, p geom.Point) pin {
	best := pin{distance: nearReach}
	for _, i := range pads {
		pad := s.q.Board.Pads[i]
		if pad.Ref == "" || pad.Pin == "" || pad.Layer != layer && s.outer(layer) && s.outer(pad.Layer) && pad.Hole < 0 {
			continue
		}
		if d := boxDistance(pad.Shape.Bounds(), p); d < best.distance {
			best = pin{pad.Ref + "." + pad.Pin, pad.Ref, pad.At, pad.Layer, d}
		}
	}
	return best
}

// boxDistance is the distance in metres from a point to a box.
func boxDistance(b geom.Box, p geom.Point) float64 {
	dx := math.Max(0, math.Max(float64(b.Min.X-p.X), float64(p.X-b.Max.X)))
	dy := math.Max(0, math.Max(float64(b.Min.Y-p.Y), float64(p.Y-b.Max.Y)))
	return math.Hypot(dx, dy) * 1e-9
}

func names(pins ...pin) []string {
	var out []string
	for _, p := range pins {
		if p.name != "" {
			out = append(out, p.name)
		}
	}
	return out
}

// refClass is the letters at the front of a reference: the class of part.
func refClass(ref string) string {
	return strings.ToUpper(strings.TrimRight(ref, "0123456789-_."))
}
