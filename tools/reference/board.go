package main

// The board's size and rules, in micrometres.
const (
	layers         = 4
	boardW, boardH = 60_000, 40_000
	clearance      = 200 // between a pour and other copper
	thermalGap     = 250 // round a pad in its own pour
	spokeWidth     = 300
	antipadGap     = 250 // round a foreign hole on an inner layer
	viaDrill       = 300
	viaPad         = 600
	blindDrill     = 200
	blindPad       = 500
)

// point is a place in micrometres.
type point struct{ x, y int }

// pad is one pin's land. A drilled pad is on every outer layer, and on an
// inner layer where its own net is poured.
type pad struct {
	ref, pin, net string
	at            point
	form          byte // 'R' rectangle, 'C' disc, 'O' stadium
	w, h          int
	drill, slot   int    // plated hole; distance between a slot's ends, along y
	spokes        string // thermal spokes in the pour: of r, l, u, d
}

// track is a stroke through its points.
type track struct {
	net          string
	layer, width int
	through      []point
}

// via is a plated hole from L1 down to the layer til.
type via struct {
	net        string
	at         point
	drill, pad int
	til        int
}

// pour fills a rectangle of a layer with one net.
type pour struct {
	net      string
	layer    int
	from, to point
}

func (p pour) holds(q point) bool {
	return q.x >= p.from.x && q.x <= p.to.x && q.y >= p.from.y && q.y <= p.to.y
}

// board is the whole design.
type board struct {
	pours  []pour
	pads   []pad
	tracks []track
	vias   []via
	mounts []hit   // unplated holes
	slits  []track // cut out of a pour
}

// pourAt is the net that is poured at a place of a layer, or "".
func (b *board) pourAt(layer int, at point) string {
	for _, p := range b.pours {
		if p.layer == layer && p.holds(at) {
			return p.net
		}
	}
	return ""
}

// on tells whether a pad has copper on a layer.
func (b *board) on(p pad, layer int) bool {
	outer := layer == 1 || layer == layers && p.drill > 0
	return outer || p.drill > 0 && b.pourAt(layer, p.at) == p.net
}
