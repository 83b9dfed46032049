package copper

import (
	"cmp"
	"math"
	"slices"

	"ohmward/geom"
	"ohmward/internal/board"
)

// leastWidth is the narrowest copper a hand-held tip is sent to, nanometres.
const leastWidth = 300_000

// ProbePlace is a place on bare copper that a hand-held tip can reach.
type ProbePlace struct {
	Spot
	Kind  string  // "pad", "pin" (drilled), "via" or "copper"
	Sides [2]bool // the sides it can be touched from: top, bottom
	Width int64   // diameter of the bare copper around it, nanometres
}

// ProbePlaces lists where a tip can touch a net, the widest place first:
// pads, drilled pins, vias free of mask and other openings over its copper,
// at least 0.3 mm wide and not under a part. Where no mask file tells, pads
// and drilled pins count as bare and nothing else does.
func (n *Nets) ProbePlaces(net int) []ProbePlace {
	var out []ProbePlace
	taken := map[int]bool{} // holes already listed
	for _, i := range n.Nets[net].Pads {
		p := &n.Board.Pads[i]
		if p.Hole >= 0 && n.holeNet[p.Hole] == net && n.Board.Holes[p.Hole].Holds(p.At) {
			if !taken[p.Hole] {
				taken[p.Hole] = true
				out = n.addHole(out, net, p.Hole, "pin", p)
			}
			continue
		}
		out = n.addPad(out, net, i)
	}
	for _, h := range n.Nets[net].Holes {
		if !taken[h] && !n.inPad(h) {
			out = n.addHole(out, net, h, "via", nil)
		}
	}
	out = n.addOpenings(out, net)
	slices.SortStableFunc(out, func(a, b ProbePlace) int {
		return cmp.Or(cmp.Compare(b.Width, a.Width), cmp.Compare(a.Layer, b.Layer),
			cmp.Compare(a.At.X, b.At.X), cmp.Compare(a.At.Y, b.At.Y))
	})
	return out
}

// outer gives the side a layer faces.
func (n *Nets) outer(layer int) (board.Side, bool) {
	switch layer {
	case 0:
		return board.Top, true
	case len(n.Layers) - 1:
		return board.Bottom, true
	}
	return 0, false
}

func (n *Nets) addPad(out []ProbePlace, net, pad int) []ProbePlace {
	p := &n.Board.Pads[pad]
	side, ok := n.outer(p.Layer)
	if !ok || n.underOwnBody(p) || n.underBody(side, p.At, p.Ref) {
		return out
	}
	on, ok := n.NetAt(p.Layer, p.At)
	width := 2 * min(insideDistance(p.Shape, p.At), n.bareDistance(side, p.At))
	if !ok || on != net || width < leastWidth {
		return out
	}
	q := ProbePlace{Spot: n.discSpot(p.Layer, p.At, net, p.PinName()), Kind: "pad", Width: int64(width)}
	q.Sides[side] = true
	return append(out, q)
}

// addHole adds a plated hole that is bare on at least one side.
func (n *Nets) addHole(out []ProbePlace, net, hole int, kind string, pad *board.Pad) []ProbePlace {
	h := n.Board.Holes[hole]
	at := h.Mid()
	ref, pin := "", ""
	if pad != nil {
		ref, pin = pad.Ref, pad.PinName()
	}
	var q ProbePlace
	for _, layer := range n.outerLayers() {
		side, _ := n.outer(layer)
		if !h.Spans(layer) || n.underBody(side, at, ref) {
			continue
		}
		wide := n.bareDistance(side, at)
		if n.Board.Mask[side] == nil && pad == nil || 2*wide < leastWidth {
			continue
		}
		if q.Kind == "" {
			q = ProbePlace{Spot: n.rimSpot(layer, hole, pin), Kind: kind}
		}
		q.Sides[side] = true
		land := float64(h.Diameter)/2 + n.rimWidth(layer, h)
		q.Width = max(q.Width, int64(2*min(wide, land)))
	}
	if q.Width < leastWidth {
		return out
	}
	return append(out, q)
}

// rimWidth is the width of the copper around a hole on a layer, at its
// narrowest of eight directions, up to 2 mm.
func (n *Nets) rimWidth(layer int, h board.Hole) float64 {
	const most, step = 2e6, 5e4
	at, least := h.Mid(), most
	for k := range 8 {
		sin, cos := math.Sincos(float64(k) * math.Pi / 4)
		r := float64(h.Diameter)/2 + 2
		w := 0.0
		for ; w < least; w += step {
			q := geom.Point{X: at.X + int64((r+w)*cos), Y: at.Y + int64((r+w)*sin)}
			if h.Holds(q) {
				continue
			}
			if n.locators[layer].Locate(q) < 0 {
				break
			}
		}
		least = min(least, w)
	}
	return least
}

// inPad tells whether a hole lies in a pad, which is listed instead.
func (n *Nets) inPad(hole int) bool {
	at := n.Board.Holes[hole].Mid()
	return slices.ContainsFunc(n.Nets[n.holeNet[hole]].Pads, func(i int) bool {
		return n.Board.Pads[i].Shape.Contains(at)
	})
}

// addOpenings adds bare copper that is no pad: what mask openings show.
func (n *Nets) addOpenings(out []ProbePlace, net int) []ProbePlace {
	for _, layer := range n.outerLayers() {
		side, _ := n.outer(layer)
		mask := n.Board.Mask[side]
		if mask == nil {
			continue
		}
		box := n.Copper(net, layer).Bounds()
		for _, opening := range *mask {
			if !opening.Bounds().Touches(box) || n.showsPad(opening, layer) || opensListed(out, opening, side) {
				continue
			}
			if at, width := n.widest(opening, net, layer); width >= leastWidth && !n.underBody(side, at, "") {
				q := ProbePlace{Spot: n.discSpot(layer, at, net, ""), Kind: "copper", Width: int64(width)}
				q.Sides[side] = true
				out = append(out, q)
			}
		}
	}
	return out
}

// outerLayers lists the layers that face a side.
func (n *Nets) outerLayers() []int {
	return slices.Compact([]int{0, len(n.Layers) - 1})
}

// opensListed tells whether a place listed already lies in the opening.
func opensListed(out []ProbePlace, opening geom.Polygon, side board.Side) bool {
	box := opening.Bounds()
	return slices.ContainsFunc(out, func(q ProbePlace) bool {
		return q.Sides[side] && box.Holds(q.At) && opening.Contains(q.At)
	})
}

// showsPad tells whether the opening is a pad's.
func (n *Nets) showsPad(opening geom.Polygon, layer int) bool {
	box := opening.Bounds()
	return slices.ContainsFunc(n.Board.Pads, func(p board.Pad) bool {
		return p.Layer == layer && box.Holds(p.At) && opening.Contains(p.At)
	})
}

// widest gives the place in an opening with most of a net's copper bare
// around it, and the diameter of that copper in nanometres.
func (n *Nets) widest(opening geom.Polygon, net, layer int) (geom.Point, float64) {
	var best geom.Point
	most := 0.0
	open := geom.Region{opening}
	for _, p := range open.InsidePoints() {
		k := n.locators[layer].Locate(p)
		if k < 0 || n.pieceNet[layer][k] != net {
			continue
		}
		width := 2 * insideDistance(open, p)
		if width > most {
			width = min(width, 2*insideDistance(n.Layers[layer][k:k+1], p))
		}
		if width > most {
			best, most = p, width
		}
	}
	return best, most
}

// bareDistance is how far around a place the mask leaves the board bare: the
// distance to the edge of its opening, 0 under mask, unlimited without a mask
// file.
func (n *Nets) bareDistance(side board.Side, at geom.Point) float64 {
	mask := n.Board.Mask[side]
	if mask == nil {
		return math.Inf(1)
	}
	for _, opening := range *mask {
		if opening.Bounds().Holds(at) && opening.Contains(at) {
			return insideDistance(geom.Region{opening}, at)
		}
	}
	return 0
}

// insideDistance is the distance from a place to the region's outline.
func insideDistance(r geom.Region, at geom.Point) float64 {
	least := math.Inf(1)
	r.Edges(func(e geom.Segment) { least = min(least, geom.DistPointSegment(at, e.A, e.B)) })
	return least
}
