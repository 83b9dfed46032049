package boards

import (
	"fmt"
	"strconv"
)

const groundNet = "GND"

// copper draws one copper layer.
func (b *Board) copper(l *layerWriter, layer int) {
	switch b.roles[layer] {
	case ground:
		b.plane(l, groundNet, func(k int) bool { return true }, false)
	case power:
		b.plane(l, b.netName(0), func(k int) bool { return k > 0 }, true)
	case across, along:
		b.signals(l, layer)
	default:
		b.outer(l, b.roles[layer])
	}
}

// plane draws one region per tile, with a round opening at each via that must
// not touch it.
func (b *Board) plane(l *layerWriter, net string, open func(k int) bool, openGround bool) {
	l.attributes(attributes{net: net})
	for t := range b.tiles() {
		var at []point
		for k := range vias {
			if open(k) {
				at = append(at, b.via(t, k))
			}
		}
		if openGround {
			g := b.groundVias(t)
			at = append(at, g[0], g[1], g[3], g[2])
		}
		lo := b.corner(t)
		l.holed(lo, lo.plus(tileSide, tileSide), at, 250*um)
	}
}

// signals draws tracks, the pads of all vias and a strip of ground.
func (b *Board) signals(l *layerWriter, layer int) {
	l.attributes(attributes{net: groundNet})
	for t := range b.tiles() {
		c := b.corner(t)
		l.begin(c.plus(4500*um, 4400*um))
		l.round(c.plus(4400*um, 4400*um), c.plus(5800*um, 5800*um), 100*um)
		l.end()
		if b.roles[layer] == across {
			l.begin(c.plus(300*um, 4400*um))
			l.round(c.plus(200*um, 4400*um), c.plus(4500*um, 5800*um), 100*um)
			l.end()
		}
		for _, v := range b.groundVias(t) {
			l.flash(apVia, v)
		}
	}
	for v := range b.net {
		l.attributes(attributes{net: b.netName(v)})
		l.flash(apVia, b.via(v/vias, v%vias))
		if b.links[layer][v] {
			l.stroke(apTrack, b.way(layer, v))
		}
	}
}

// land is a pad with the track that leads to it.
type land struct {
	at    point
	track []point
	attributes
	aperture, clear int
}

// lands lists the pads of a tile on one side.
func (b *Board) lands(t int, r role) (out []land) {
	c := b.corner(t)
	if r == top {
		ref := fmt.Sprintf("U%d", t+1)
		for k := range vias {
			v := b.via(t, k)
			off := (int64(2*k) - vias + 1) * 50 * um
			at := point{v.x + off, c.y + 5050*um}
			bend := c.y + 4060*um
			track := []point{v, {v.x, bend}, {at.x, bend + max(off, -off)}, at}
			out = append(out, land{at, track, attributes{b.netName(t*vias + k), ref, strconv.Itoa(k + 1)}, apPad,
				apClearPad})
		}
		return out
	}
	for m := range vias / 2 {
		ref := fmt.Sprintf("C%d", t*vias/2+m+1)
		v := b.via(t, 2*m)
		near, far := point{c.x + 4600*um, v.y}, point{c.x + 5500*um, v.y}
		out = append(out,
			land{near, []point{v, near}, attributes{b.netName(t*vias + 2*m), ref, "1"}, apSmall, apClearSmall},
			land{far, nil, attributes{groundNet, ref, "2"}, apSmall, 0})
	}
	return out
}

// outer draws a pour, clears what must be apart from it and draws pads, vias
// and tracks.
func (b *Board) outer(l *layerWriter, r role) {
	l.attributes(attributes{net: groundNet})
	l.begin(point{2 * mm, 0})
	l.round(point{}, point{int64(b.Across) * tileSide, int64(b.Along) * tileSide}, 2*mm)
	l.end()
	l.polarity(true)
	for t := range b.tiles() {
		for k := range vias {
			l.flash(apClearVia, b.via(t, k))
		}
		for _, p := range b.lands(t, r) {
			if p.clear != 0 {
				l.flash(p.clear, p.at)
				l.stroke(apClearTrack, p.track)
			}
		}
	}
	l.polarity(false)
	for v := range b.net {
		l.attributes(attributes{net: b.netName(v)})
		l.flash(apVia, b.via(v/vias, v%vias))
	}
	for t := range b.tiles() {
		l.attributes(attributes{net: groundNet})
		for _, v := range b.groundVias(t) {
			l.flash(apVia, v)
		}
		for _, p := range b.lands(t, r) {
			l.attributes(attributes{net: p.net})
			if p.track != nil {
				l.stroke(apTrack, p.track)
			}
			l.attributes(p.attributes)
			l.flash(p.aperture, p.at)
		}
	}
}

// mask draws the openings over the pads of one side.
func (b *Board) mask(l *layerWriter, r role) {
	for t := range b.tiles() {
		for _, p := range b.lands(t, r) {
			l.flash(p.aperture, p.at)
		}
	}
}

// legend draws the number of each tile's part.
func (b *Board) legend(l *layerWriter) {
	for t := range b.tiles() {
		l.text(strconv.Itoa(t+1), b.corner(t).plus(2500*um, 800*um))
	}
}

// outline draws the board's edge with round corners.
func (b *Board) outline(l *layerWriter) {
	l.take(apOutline)
	l.round(point{}, point{int64(b.Across) * tileSide, int64(b.Along) * tileSide}, 2*mm)
}
