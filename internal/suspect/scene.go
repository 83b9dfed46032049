package suspect

import (
	"slices"
	"strings"

	"ohmward/geom"
	"ohmward/internal/board"
	"ohmward/internal/parallel"
)

// scene is the question with everything indexed that sampling asks for.
type scene struct {
	q      Question
	every  int         // outline of a layer that is walked: 1: all
	edges  []*edges    // per layer
	member map[int]int // the group of each net that has one
	mask   [2]*geom.Locator
	paste  [2]*geom.Locator
	pads   [2][]int // pads of each group
	near   [2]*padSet
	byNet  []*padSet // pads of each net, for all pairs; made when asked for
	bodies [2][]*body
}

// body is a part as far as it hides what lies under it. Its shape is made
// when a place in its box is first asked for.
type body struct {
	part  *board.Part
	box   geom.Box
	shape geom.Region
	made  bool
}

func newScene(q Question) *scene {
	s := newSurface(q)
	s.member = map[int]int{}
	for g, nets := range q.Groups {
		for _, n := range nets {
			s.member[n] = g
			s.pads[g] = append(s.pads[g], q.Nets.Nets[n].Pads...)
		}
		slices.Sort(s.pads[g])
		s.near[g] = newPadSet(q.Board, s.pads[g])
	}
	zone := meeting(q)
	s.edges = make([]*edges, len(q.Board.Layers))
	parallel.Each(len(s.edges), func(l int) { s.edges[l] = newEdges(q, l, s.member, zone) })
	return s
}

// newSurface indexes what covers the board, whatever the nets.
func newSurface(q Question) *scene {
	s := &scene{q: q, every: 1}
	for side := range 2 {
		s.mask[side], s.paste[side] = locator(q.Board.Mask[side]), locator(q.Board.Paste[side])
	}
	for i := range q.Board.Parts {
		if p := &q.Board.Parts[i]; len(p.Body) >= 3 {
			s.bodies[p.Side] = append(s.bodies[p.Side], &body{part: p, box: p.Body.Bounds()})
		}
	}
	return s
}

func locator(r *geom.Region) *geom.Locator {
	if r == nil {
		return nil
	}
	return geom.NewLocator(*r)
}

func (s *scene) layerCount() int { return len(s.q.Board.Layers) }

// covers tells whether a place lies under the part. A body that was only
// guessed from the pads of a part with legs hides what lies inside its pads,
// not between them.
func (b *body) covers(on *board.Board, p geom.Point) bool {
	if !b.box.Holds(p) {
		return false
	}
	if !b.made {
		b.made = true
		b.shape = geom.Fill([]geom.Ring{b.part.Body}, geom.NonZero)
		if b.part.Guessed && !b.part.Array && len(b.part.Pads) > 2 {
			b.shape = geom.Offset(b.shape, -padReach(on, *b.part), 20_000)
		}
	}
	return b.shape.Contains(p)
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

// groupAt gives the group whose copper or plated hole is at a place, or -1.
func (s *scene) groupAt(layer int, p geom.Point) int {
	if n, ok := s.q.Nets.NetAt(layer, p); ok {
		if g, ours := s.member[n]; ours {
			return g
		}
	}
	return -1
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
	return slices.ContainsFunc(s.bodies[s.side(layer)], func(b *body) bool { return b.covers(s.q.Board, p) })
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

// refClass is the letters at the front of a reference: the class of part.
func refClass(ref string) string {
	return strings.ToUpper(strings.TrimRight(ref, "0123456789-_."))
}
