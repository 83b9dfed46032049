package main

import (
	"fmt"
	"strings"

	"ohmward/internal/unionfind"
)

// How the ground pour is made (micrometres). The samples hold the distance
// to what the pour must keep from; the core is where a disc of pourWaist
// fits, its pieces without a way to ground are dropped, and the core is
// grown back. So no pour is narrower than 2·pourWaist.
const (
	pourWaist     = 110
	pourSlack     = 14 // kept in hand for rounding and simplifying
	pourTolerance = 12
	farAway       = 1000
	fiducialClear = 600
	holeClearance = 300
	pourLeast     = 160 // samples of core that a piece must have, 0.4 mm²
)

// pourer makes the ground pour of both layers.
type pourer struct {
	b      *board
	ground int
	room   [2]raster // distance to foreign copper, less the clearance
	label  [2][]int  // piece of the core at each sample, 0: none
	pieces int
	group  unionfind.Sets // of pieces of both layers
}

// pourGround fills both layers with ground, stitches them, and drops what
// stays cut off.
func (b *board) pourGround() error {
	p := &pourer{b: b, ground: b.netID("GND")}
	for l := range 2 {
		p.room[l] = p.measure(1 << l)
	}
	p.findPieces()
	p.joinPieces()
	p.stitch()
	main := p.largest()
	for l := range 2 {
		b.pour[l] = p.outline(l, main)
		if len(b.pour[l]) == 0 {
			return fmt.Errorf("pour: no ground on L%d", l+1)
		}
	}
	return nil
}

// measure samples how much room each place of a layer has beyond the
// clearance that is due there.
func (p *pourer) measure(layer uint8) raster {
	r := newRaster(farAway)
	for i := range r {
		s := samplePoint(i)
		r[i] = min(r[i], insideProfile(float64(s.x), float64(s.y))-edgeClearance-pourSlack)
	}
	for _, c := range p.b.coppers() {
		switch {
		case c.layers&layer == 0:
		case c.net != p.ground:
			r.lower(c.shape, farAway, pourClearance+pourSlack)
		case c.what != "track" && c.what != "via":
			r.lower(c.shape, farAway, thermalGap)
		}
	}
	for _, l := range p.b.lands {
		if strings.HasPrefix(l.function, "Fiducial") && l.layers&layer != 0 {
			r.lower(l.shape, farAway, fiducialClear)
		}
	}
	for _, h := range p.b.holes {
		r.lower(disc(h.at, h.diameter), farAway, holeClearance+pourSlack)
	}
	return r
}

// findPieces labels the connected pieces of the core and forgets those too
// small to be worth a via.
func (p *pourer) findPieces() {
	p.group = unionfind.New(1)
	for l := range 2 {
		p.label[l] = make([]int, len(p.room[l]))
		for i := range p.room[l] {
			if p.room[l][i] >= pourWaist && p.label[l][i] == 0 {
				p.pieces++
				p.group = append(p.group, int32(p.pieces))
				if area := p.flood(l, i, p.pieces); area < pourLeast {
					p.forget(l, i)
				}
			}
		}
	}
}

// forget takes a piece out of the core.
func (p *pourer) forget(l, start int) {
	id := p.label[l][start]
	for i := start; i < len(p.label[l]); i++ {
		if p.label[l][i] == id {
			p.label[l][i], p.room[l][i] = 0, -farAway
		}
	}
}

// flood labels one piece and counts its samples.
func (p *pourer) flood(l, start, id int) int {
	area := 0
	stack := []int{start}
	p.label[l][start] = id
	for len(stack) > 0 {
		i := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		area++
		for _, j := range [4]int{i - 1, i + 1, i - rasterX, i + rasterX} {
			if p.room[l][j] >= pourWaist && p.label[l][j] == 0 {
				p.label[l][j] = id
				stack = append(stack, j)
			}
		}
	}
	return area
}

// joinPieces joins the pieces that ground vias and tracks connect.
func (p *pourer) joinPieces() {
	for _, v := range p.b.vias {
		if v.net == p.ground {
			p.join(p.label[0][sampleAt(v.at)], p.label[1][sampleAt(v.at)])
		}
	}
	for _, t := range p.b.tracks {
		if t.net == p.ground {
			l := int(t.layer) - 1
			p.join(p.label[l][sampleAt(t.a)], p.label[l][sampleAt(t.b)])
		}
	}
}

func (p *pourer) join(i, j int) {
	if i != 0 && j != 0 {
		p.group.Join(i, j)
	}
}

// largest is the group with the most samples.
func (p *pourer) largest() int {
	count := make([]int, len(p.group))
	best := 0
	for l := range 2 {
		for _, id := range p.label[l] {
			if id != 0 {
				count[p.group.Find(id)]++
			}
		}
	}
	for i := range count {
		if count[i] > count[best] {
			best = i
		}
	}
	return best
}

// outline grows the kept core back and gives its pieces.
func (p *pourer) outline(l, main int) []piece {
	core := append(raster(nil), p.room[l]...)
	for i, id := range p.label[l] {
		if id == 0 {
			continue
		}
		if p.group.Find(id) != main {
			core[i] = -farAway
		}
	}
	grown := newRaster(-farAway)
	for i := range core {
		if core[i] >= pourWaist {
			grown[i] = farAway
		}
	}
	away := newRaster(farAway)
	for _, ring := range core.contours(pourWaist) {
		for i, a := range ring {
			b := ring[(i+1)%len(ring)]
			away.lower(shape{a: a, b: b}, 2*rasterStep+pourWaist, 0)
		}
	}
	for i := range grown {
		if grown[i] < 0 {
			grown[i] = pourWaist - away[i]
		} else {
			grown[i] = pourWaist + away[i]
		}
	}
	return nest(grown.contours(0))
}

// nest sorts contours into pieces with their holes.
func nest(rings [][]point) []piece {
	var pieces []piece
	var holes [][]point
	for _, r := range rings {
		r = simplify(r, pourTolerance)
		switch a := area2(r); {
		case len(r) < 3 || a == 0:
		case a > 0:
			pieces = append(pieces, piece{outer: r})
		default:
			holes = append(holes, r)
		}
	}
	for _, h := range holes {
		best := -1
		for i := range pieces {
			if inRing(h[0], pieces[i].outer) &&
				(best < 0 || area2(pieces[i].outer) < area2(pieces[best].outer)) {
				best = i
			}
		}
		if best >= 0 {
			pieces[best].holes = append(pieces[best].holes, h)
		}
	}
	return pieces
}
