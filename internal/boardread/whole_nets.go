package boardread

import (
	"maps"
	"slices"

	"ohmward/format/ipc2581"
	"ohmward/format/ipcd356"
	"ohmward/geom"
	"ohmward/internal/board"
)

// designList is what a whole board in one file lists of its nets, beside what
// its copper carries.
type designList struct {
	a     *assembly
	file  string
	d     *ipc2581.Design
	net   map[string]string // of pins, as the logical nets list them
	known map[string]bool   // pins that have a pad, or a point here
	named map[string]bool   // parts with such pins
}

// designNets takes the places of a whole board's physical nets, its pads as
// the logical nets list them, and pins that only its packages place.
func (a *assembly) designNets() {
	for _, s := range a.of(useWhole) {
		if s.design == nil {
			continue
		}
		l := designList{a, s.path, s.design, map[string]string{}, map[string]bool{}, map[string]bool{}}
		for _, name := range slices.Sorted(maps.Keys(l.d.NetPins)) {
			for _, pin := range l.d.NetPins[name] {
				l.net[pin] = name
			}
		}
		l.pads()
		l.points()
		l.placedPins()
		l.missing()
	}
}

// pads compares every pad's copper with the net its pin is listed in.
func (l *designList) pads() {
	for i, layer := range l.d.Layers {
		for k := range layer.Objects {
			o := &layer.Objects[k]
			if !o.IsPad || o.Pin == "" || !o.Dark {
				continue
			}
			pin := o.Ref + "." + o.Pin
			l.known[pin], l.named[o.Ref] = true, true
			if name := l.net[pin]; l.d.NetsDeclared && isName(name) {
				l.label(i, o.At, name, o.Line)
			}
		}
	}
}

func (l *designList) label(layer int, at geom.Point, net string, line int) {
	l.a.b.Netlist = append(l.a.b.Netlist, board.Label{Layer: layer, At: at, Net: net, File: l.file, Line: line})
}

// points compares the places of the physical nets, and gives their pins to
// lands that carry none.
func (l *designList) points() {
	layer := map[string]int{}
	for i, c := range l.d.Layers {
		layer[c.Name] = i
	}
	var off []ipc2581.NetPoint
	given := map[string]bool{}
	for _, p := range l.d.Points {
		from, ok := layer[p.Layer]
		last := from
		if !ok { // a drill layer, or one that is not declared
			if from, last, ok = l.a.through(p.At); !ok {
				off = append(off, p)
				continue
			}
		}
		if isName(p.Net) {
			l.label(from, p.At, p.Net, p.Line)
		}
		if ref, pin := p.Part(); pin != "" && !l.known[p.Pin] {
			given[p.Pin], l.named[ref] = true, true
			l.give(ipcd356.Record{Net: p.Net, Ref: ref, Pin: pin, At: p.At, Line: p.Line}, from, last)
		}
	}
	for pin := range given {
		l.known[pin] = true
	}
	if len(off) > 0 {
		l.a.doubtAt(l.file, off[0].Line, "%d of %d points of the physical nets are on no copper layer, as %s on "+
			"%q at %s: ignored", len(off), len(l.d.Points), off[0].Net, off[0].Layer, place(off[0].At))
	}
}

// through gives the layers that a plated hole at a place spans.
func (a *assembly) through(at geom.Point) (from, last int, ok bool) {
	for l := range a.layers {
		if h := a.grid.At(at, l, board.PlatedHole); h >= 0 {
			return a.b.Holes[h].First, a.b.Holes[h].Last, true
		}
	}
	return 0, 0, false
}

// give offers a pin to the lands at its place.
func (l *designList) give(r ipcd356.Record, from, last int) {
	if from == last {
		r.Kind = ipcd356.Surface
	}
	l.a.points = append(l.a.points, netPoint{Record: r, file: l.file, from: from, to: last})
}

// placedPins gives pins to the lands of parts whose lands carry none at all,
// where the packages tell the places, as some writers leave it. Listed pins
// come first: a second one at their place is another name of the same.
func (l *designList) placedPins() {
	taken := map[geom.Point]bool{}
	for _, listed := range []bool{true, false} {
		for i := range l.d.Components {
			c := &l.d.Components[i]
			if l.named[c.Ref] {
				continue // its package may count its pins otherwise
			}
			for _, p := range c.Pins {
				name := c.Ref + "." + p.Number
				if p.Number != "" && (l.net[name] != "") == listed && (listed || !taken[p.At]) && !l.known[name] {
					l.placedPin(c, p, name)
					taken[p.At] = true
				}
			}
		}
	}
}

func (l *designList) placedPin(c *ipc2581.Component, p ipc2581.Pin, name string) {
	from, last, ok := l.a.through(p.At)
	if !ok && c.Side == "BOTTOM" {
		from, last = len(l.a.layers)-1, len(l.a.layers)-1
	}
	if !l.a.copperAt(from, p.At) {
		return
	}
	l.known[name] = true
	if isName(l.net[name]) {
		l.label(from, p.At, l.net[name], c.Line)
	}
	l.give(ipcd356.Record{Net: l.net[name], Ref: c.Ref, Pin: p.Number, At: p.At, Line: c.Line}, from, last)
}

func (a *assembly) copperAt(layer int, at geom.Point) bool {
	return a.located[layer].Locate(at) >= 0 || a.grid.At(at, layer, board.PlatedHole) >= 0
}

// missing tells of listed pins without a pad.
func (l *designList) missing() {
	if !l.d.NetsDeclared {
		return
	}
	var bare []string
	for _, name := range slices.Sorted(maps.Keys(l.d.NetPins)) {
		for _, pin := range l.d.NetPins[name] {
			if !l.known[pin] {
				bare = append(bare, pin+" of "+name)
			}
		}
	}
	if len(bare) > 0 {
		l.a.doubt(l.file, "%d of %d pins of the net list have no pad on copper, as %s", len(bare), len(l.net),
			bare[0])
	}
}
