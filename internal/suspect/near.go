package suspect

import (
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
		if p.Ref == "" || p.Pin == "" || len(p.Shape) == 0 {
			continue
		}
		box := p.Shape.Bounds()
		s.pads = append(s.pads, padBox{i, box})
		s.wide = max(s.wide, box.Max.X-box.Min.X)
	}
	slices.SortFunc(s.pads, func(a, b padBox) int {
		switch {
		case a.box.Min.X < b.box.Min.X || a.box.Min.X == b.box.Min.X && a.index < b.index:
			return -1
		case a == b:
			return 0
		}
		return 1
	})
	return s
}

// nearest is the pad nearest to p, edge to point, that a person could see
// from there: on the layer, or drilled through it. Of equals it is the first
// on the board.
func (s *padSet) nearest(layer int, p geom.Point) pin {
	best, found := nearReach*1e9, -1
	try := func(c *padBox) {
		d := boxDistance(c.box, p)
		if d > best || !s.visible(c.index, layer) {
			return
		}
		d = regionDistance(s.board.Pads[c.index].Shape, p)
		if d < best || d == best && c.index < found {
			best, found = d, c.index
		}
	}
	at, _ := slices.BinarySearchFunc(s.pads, p.X, func(c padBox, x int64) int {
		switch {
		case c.box.Min.X < x:
			return -1
		case c.box.Min.X > x:
			return 1
		}
		return 0
	})
	left, right := at-1, at
	for left >= 0 || right < len(s.pads) {
		if left >= 0 {
			if float64(p.X-s.pads[left].box.Min.X-s.wide) > best {
				left = -1
			} else {
				try(&s.pads[left])
				left--
			}
		}
		if right < len(s.pads) {
			if float64(s.pads[right].box.Min.X-p.X) > best {
				right = len(s.pads)
			} else {
				try(&s.pads[right])
				right++
			}
		}
	}
	if found < 0 {
		return pin{distance: nearReach}
	}
	pad := &s.board.Pads[found]
	return pin{pad.Ref + "." + pad.Pin, pad.Ref, best * 1e-9}
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
		if p.name != "" {
			out = append(out, p.name)
		}
	}
	return out
}
