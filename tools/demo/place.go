package main

import (
	"fmt"
	"math"
	"strings"
)

// part is a placed component.
type part struct {
	ref, footprint, value string
	at                    point
	rot                   int
	body                  shape // rectangle of the body
	mount                 string
	bare                  bool
	lands                 []int // indices into board.lands
}

// um turns millimetres into micrometres.
func um(mm float64) int { return int(math.Round(mm * 1000)) }

// turned rotates a vector counter-clockwise by a multiple of 90 degrees.
func turned(p point, rot int) point {
	for range ((rot%360 + 360) % 360) / 90 {
		p = point{-p.y, p.x}
	}
	return p
}

// assemble places every part of the design.
func assemble() (*board, error) {
	b := &board{}
	b.netID("GND")
	for _, list := range [][]partSpec{powerParts, logicParts, cardParts, radioParts, sensorParts, looseParts} {
		for _, s := range list {
			if err := b.place(s); err != nil {
				return nil, err
			}
		}
	}
	for _, h := range mountingHoles {
		b.holes = append(b.holes, hole{point{um(h.x), um(h.y)}, h.diameter})
	}
	return b, nil
}

// place adds one part and its lands.
func (b *board) place(s partSpec) error {
	f, ok := footprints[s.footprint]
	if !ok {
		return fmt.Errorf("part %s: no footprint %q", s.ref, s.footprint)
	}
	nets := strings.Fields(s.nets)
	if len(nets) != len(f.pins) {
		return fmt.Errorf("part %s: %d nets for %d pins", s.ref, len(nets), len(f.pins))
	}
	at := point{um(s.x), um(s.y)}
	w, h := f.bodyW, f.bodyH
	if s.rot%180 != 0 {
		w, h = h, w
	}
	p := part{ref: s.ref, footprint: s.footprint, value: s.value, at: at, rot: s.rot,
		body: rect(at, w, h), mount: f.mount, bare: f.bare}
	for i, pin := range f.pins {
		p.lands = append(p.lands, len(b.lands))
		b.lands = append(b.lands, b.newLand(s, f, pin, nets[i]))
	}
	b.parts = append(b.parts, p)
	return nil
}

// newLand turns a footprint's pin into a land on the board.
func (b *board) newLand(s partSpec, f footprint, pin pinShape, net string) land {
	d := turned(point{pin.x, pin.y}, s.rot)
	at := point{um(s.x) + d.x, um(s.y) + d.y}
	w, h := pin.w, pin.h
	if s.rot%180 != 0 {
		w, h = h, w
	}
	l := land{ref: s.ref, pin: pin.pin, net: b.netID(net), at: at, form: pin.form,
		w: w, h: h, drill: pin.drill, layers: top, function: f.function}
	if pin.drill > 0 {
		l.layers = both
	}
	switch pin.form {
	case 'C':
		l.shape = disc(at, w)
	case 'O':
		l.shape = oval(at, w, h)
	default:
		l.shape = rect(at, w, h)
	}
	return l
}
