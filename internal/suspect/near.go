package suspect

import (
	"cmp"
	"math"
	"slices"

	"ohmward/geom"
	"ohmward/internal/board"
)

// pin is a pad near a place.
type pin struct {
	name, ref string
	distance  float64 // metres, to the pad's edge; 0 on the pad
}

// nearReach is how far a pad may be and still name a place, metres.
const nearReach = 6e-3

// padSet finds the nearest of some pads.
type padSet struct {
	board *board.Board
	pads  []padBox // of pins with a name, by the left edge of their boxes
	wide  int64    // the widest box
}

type padBox struct {
	index int
	box   geom.Box
}

func newPadSet(b *board.Board, pads []int) *padSet {
	s := &padSet{board: b}
	for _, i := range pads {
		p := &b.Pads[i]
		if p.Ref == "" || len(p.Shape) == 0 {
			continue
		}
		box := p.Shape.Bounds()
		s.pads = append(s.pads, padBox{i, box})
		s.wide = max(s.wide, box.Max.X-box.Min.X)
	}
	slices.SortFunc(s.pads, func(a, b padBox) int {
		return cmp.Or(cmp.Compare(a.box.Min.X, b.box.Min.X), cmp.Compare(a.index, b.index))
	})
	return s
}

// nearest is the pad nearest to p, edge to point, that a person could see
// from there: on the layer, or drilled through it. Of equals it is the first
// on the board.
func (s *padSet) nearest(layer int, p geom.Point) pin {
	best, found := nearReach*1e9, -1
	from, _ := slices.BinarySearchFunc(s.pads, p.X-nm(nearReach)-s.wide, func(c padBox, x int64) int {
		return cmp.Compare(c.box.Min.X, x)
	})
	for _, c := range s.pads[from:] {
		if float64(c.box.Min.X-p.X) > best {
			break
		}
		if boxDistance(c.box, p) > best || !s.visible(c.index, layer) {
			continue
		}
		d := regionDistance(s.board.Pads[c.index].Shape, p)
		if d < best || d == best && c.index < found {
			best, found = d, c.index
		}
	}
	if found < 0 {
		return pin{distance: nearReach}
	}
	pad := &s.board.Pads[found]
	return pin{pad.Name(), pad.Ref, best * 1e-9}
}

// visible tells whether a pad can be seen from a place on a layer. From an
// inner layer every pad counts.
func (s *padSet) visible(pad, layer int) bool {
	p, last := &s.board.Pads[pad], len(s.board.Layers)-1
	outer := func(l int) bool { return l == 0 || l == last }
	return p.Layer == layer || p.Hole >= 0 || !outer(layer) || !outer(p.Layer)
}

// boxDistance is the distance in nanometres from a point to a box.
func boxDistance(b geom.Box, p geom.Point) float64 {
	dx := max(0, b.Min.X-p.X, p.X-b.Max.X)
	dy := max(0, b.Min.Y-p.Y, p.Y-b.Max.Y)
	return math.Hypot(float64(dx), float64(dy))
}

// regionDistance is the distance in nanometres from a point to a region, 0
// inside it.
func regionDistance(r geom.Region, p geom.Point) float64 {
	if r.Contains(p) {
		return 0
	}
	best := math.Inf(1)
	r.Edges(func(s geom.Segment) { best = math.Min(best, geom.DistPointSegment(p, s.A, s.B)) })
	return best
}

// names lists the pins that have one.
func names(pins ...pin) []string {
	var out []string
	for _, p := range pins {
		if p.name != "" && !slices.Contains(out, p.name) {
			out = append(out, p.name)
		}
	}
	return out
}
