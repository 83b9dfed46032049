package main

// The board's size and rules, in micrometres.
const (
	boardW, boardH = 60_000, 45_000
	cornerR        = 2_000 // rounded corners of the profile
	clearance      = 150   // between copper of different nets
	pourClearance  = 200   // between the pour and other nets
	edgeClearance  = 400   // between copper and the profile
	thermalGap     = 250   // around a ground pad in the pour
	spokeWidth     = 300
	viaDrill       = 300
	viaPad         = 600
	maskGrow       = 50 // a mask opening is this much larger all round
)

// Layer bits: L1 is the top, L2 the bottom.
const (
	top    uint8 = 1
	bottom uint8 = 2
	both         = top | bottom
)

// noNet marks copper that belongs to no net.
const noNet = -1

// land is a pad of a placed part.
type land struct {
	ref, pin string
	net      int // index into board.nets, or noNet
	at       point
	shape    shape
	form     rune // 'R' rectangle, 'C' disc, 'O' stadium
	w, h     int
	drill    int // plated hole's diameter; 0: surface pad
	layers   uint8
	function string // .AperFunction
}

// track is a straight stroke of copper.
type track struct {
	net   int
	layer uint8
	a, b  point
	width int
}

func (t track) shape() shape { return capsule(t.a, t.b, t.width) }

// via is a plated hole with a pad on both layers.
type via struct {
	net int
	at  point
}

func (v via) shape() shape { return disc(v.at, viaPad) }

// hole is an unplated hole.
type hole struct {
	at       point
	diameter int
}

// board is the whole design.
type board struct {
	parts  []part
	nets   []string // name by index
	lands  []land
	tracks []track
	vias   []via
	holes  []hole
	spokes []track    // thermal spokes of the ground pour
	pour   [2][]piece // ground pour by layer
}

// piece is one connected piece of pour: an outer ring and its holes.
type piece struct {
	outer []point
	holes [][]point
}

// netID finds or makes the index of a net's name; "-" is no net.
func (b *board) netID(name string) int {
	if name == "-" || name == "" {
		return noNet
	}
	for i, n := range b.nets {
		if n == name {
			return i
		}
	}
	b.nets = append(b.nets, name)
	return len(b.nets) - 1
}

// padOf finds the pad of a part's pin.
func (b *board) padOf(ref, pin string) land {
	for _, l := range b.lands {
		if l.ref == ref && l.pin == pin {
			return l
		}
	}
	panic("generate: no pad " + ref + "." + pin)
}

// copper is one piece of copper with its net, for clearances and joints.
type copper struct {
	shape  shape
	net    int
	layers uint8
	what   string
}

// coppers lists every pad, track, via and spoke.
func (b *board) coppers() []copper {
	var all []copper
	for _, l := range b.lands {
		all = append(all, copper{l.shape, l.net, l.layers, l.ref + "." + l.pin})
	}
	for _, t := range b.tracks {
		all = append(all, copper{t.shape(), t.net, t.layer, "track"})
	}
	for _, v := range b.vias {
		all = append(all, copper{v.shape(), v.net, both, "via"})
	}
	for _, t := range b.spokes {
		all = append(all, copper{t.shape(), t.net, t.layer, "spoke"})
	}
	return all
}
