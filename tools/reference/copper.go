package main

import "fmt"

// shape is a pad as an aperture, grown by d all round.
func (p pad) shape(d int) string {
	if p.form == 'C' {
		return "C," + mm(p.w+2*d)
	}
	return fmt.Sprintf("%c,%sX%s", p.form, mm(p.w+2*d), mm(p.h+2*d))
}

// antipad keeps a pour off a hole of another net that has no pad there.
func (p pad) antipad() string {
	hole := pad{form: 'C', w: p.drill, h: p.drill + p.slot}
	if p.slot > 0 {
		hole.form = 'O'
	}
	return hole.shape(antipadGap)
}

// copperFile paints a layer: its pours, then what is cleared from them, then
// all other copper.
func (b *board) copperFile(layer int) []byte {
	var m image
	m.polarity('D')
	for _, p := range b.pours {
		if p.layer == layer {
			m.of(p.net, "")
			m.rectangle(p.from, p.to)
		}
	}
	m.of("", "")
	m.polarity('C')
	b.clear(&m, layer)
	m.polarity('D')
	b.paint(&m, layer)
	side := map[int]string{1: "Top", 2: "Inr", 3: "Inr", 4: "Bot"}[layer]
	return m.file(fmt.Sprintf("Copper,L%d,%s", layer, side))
}

// clear takes antipads, clearances, thermal gaps and slits out of the pours.
func (b *board) clear(m *image, layer int) {
	for _, p := range b.pads {
		own := b.pourAt(layer, p.at) == p.net
		switch {
		case own && b.on(p, layer):
			m.flash(p.shape(thermalGap), p.at)
		case b.on(p, layer):
			m.flash(p.shape(clearance), p.at)
		case p.drill > 0:
			m.flash(p.antipad(), p.at)
		}
	}
	for _, v := range b.vias {
		switch {
		case b.pourAt(layer, v.at) == v.net || v.til < layer:
		case layer == 1 || layer == layers:
			m.flash("C,"+mm(v.pad+2*clearance), v.at)
		default:
			m.flash("C,"+mm(v.drill+2*antipadGap), v.at)
		}
	}
	for _, t := range b.tracks {
		if t.layer == layer && b.pourAt(layer, t.through[0]) != t.net {
			m.line(t.width+2*clearance, t.through...)
		}
	}
	for _, t := range b.slits {
		if t.layer == layer {
			m.line(t.width, t.through...)
		}
	}
	for _, h := range b.mounts {
		m.flash("C,"+mm(h.diameter+2*antipadGap), h.at)
	}
}

// paint draws spokes, tracks, vias and pads.
func (b *board) paint(m *image, layer int) {
	for _, p := range b.pads {
		if b.on(p, layer) && b.pourAt(layer, p.at) == p.net {
			m.of(p.net, "")
			b.spokes(m, p)
		}
	}
	for _, t := range b.tracks {
		if t.layer == layer {
			m.of(t.net, "")
			m.line(t.width, t.through...)
		}
	}
	for _, v := range b.vias {
		if layer == 1 || layer == v.til {
			m.of(v.net, "")
			m.flash("C,"+mm(v.pad), v.at)
		}
	}
	for _, p := range b.pads {
		if b.on(p, layer) {
			m.of(p.net, p.ref+","+p.pin)
			m.flash(p.shape(0), p.at)
		}
	}
}

// spokes joins a pad to its pour across the thermal gap.
func (b *board) spokes(m *image, p pad) {
	for _, s := range p.spokes {
		end := p.at
		across, along := p.w/2+thermalGap+spokeWidth/2, p.h/2+thermalGap+spokeWidth/2
		switch s {
		case 'r':
			end.x += across
		case 'l':
			end.x -= across
		case 'u':
			end.y += along
		case 'd':
			end.y -= along
		}
		m.line(spokeWidth, p.at, end)
	}
}
