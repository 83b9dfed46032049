package boardread

import (
	"slices"

	"ohmward/format/gerber"
	"ohmward/geom"
	"ohmward/internal/board"
)

const (
	// thinnestPin is the least drill for a part's pin, nanometres; a round
	// land about a smaller hole is a via (common practice, no source).
	thinnestPin = 550_000
	// concentric is how far a hole's middle may lie from its land's.
	concentric = 10_000
	// smallestLand and largestLand bound a land's sides, nanometres.
	smallestLand = 90_000
	largestLand  = 12_000_000
	// viaWidth is how many times its hole a via's land is wide at most.
	viaWidth = 3.2
)

// freeLand is a bare place on an outer side that carries no pin: a part may
// stand on it.
type freeLand struct {
	side    board.Side
	at      geom.Point // the middle of its box
	box     geom.Box
	shape   geom.Region
	hole    int  // plated hole at its middle, or -1
	drilled bool // a pin's hole goes through it
	via     bool // round about a thin hole, and flashed just once
	file    string
	line    int
	ref     string // of the part that it was given to
	closest *seat  // the nearest part without lands, as last looked for
}

func (l *freeLand) size() (w, h int64) { return width(l.box), height(l.box) }

// alike tells whether two lands have one size, give or take a twentieth;
// turned ones with their sides exchanged.
func (l *freeLand) alike(o *freeLand, turned bool) bool {
	w, h := l.size()
	p, q := o.size()
	if turned {
		p, q = q, p
	}
	return l.drilled == o.drilled && 20*abs(w-p) <= max(w, p)+200_000 && 20*abs(h-q) <= max(h, q)+200_000
}

// freeLands lists the bare lands without a pin on one side: flashes that the
// mask leaves open, and openings over copper in which none lies.
func (a *assembly) freeLands(side board.Side) []*freeLand {
	layer := a.outerLayer(side)
	if a.layers[layer].negative {
		return nil // what is drawn is no land
	}
	c := landCollector{a: a, side: side, layer: layer, file: a.layers[layer].path,
		at: newGrid[*freeLand](concentric)}
	if m := a.b.Mask[side]; m != nil {
		c.mask = geom.NewLocator(*m)
	}
	for i := range a.b.Pads {
		if p := &a.b.Pads[i]; p.Layer == layer {
			c.taken = append(c.taken, p)
		}
	}
	for o := range dark(a.layers[layer].img) {
		if o.Kind == gerber.Flash && len(o.Rings) > 0 {
			c.flash(o)
		}
	}
	c.out = slices.DeleteFunc(c.out, func(l *freeLand) bool {
		if l.via {
			c.vias = append(c.vias, l.box)
		}
		return l.via
	})
	c.fills()
	c.openings()
	return c.out
}

func (a *assembly) outerLayer(side board.Side) int {
	if side == board.Bottom {
		return len(a.layers) - 1
	}
	return 0
}

// landCollector collects one side's free lands.
type landCollector struct {
	a     *assembly
	side  board.Side
	layer int
	file  string
	mask  *geom.Locator // nil where no file tells
	taken []*board.Pad  // that carry a pin
	at    grid[*freeLand]
	vias  []geom.Box // of their flashes
	out   []*freeLand
}

// flash takes a flash, unless it is covered, a via or a further flash of a
// land that is there already.
func (c *landCollector) flash(o *gerber.Object) {
	box := geom.Bounds(o.Rings)
	mid := box.Mid()
	covered := c.mask != nil && c.mask.Locate(mid) < 0 && c.mask.Locate(o.At) < 0
	if covered || !plausibleLand(box) || c.isTaken(mid) ||
		!c.a.copperAt(c.layer, mid) && c.a.grid.At(mid, c.layer, board.AnyHole) < 0 {
		return
	}
	l := &freeLand{side: c.side, at: mid, box: box, file: c.file, line: o.Line}
	l.hole = c.a.grid.At(mid, c.layer, board.PlatedHole)
	if l.hole >= 0 {
		h := c.a.b.Holes[l.hole]
		central := geom.Distance(h.Mid(), mid) <= concentric
		if h.At == h.To && h.Diameter < thinnestPin {
			l.via = central && asWideAsHigh(o.Rings) && float64(width(box)) <= viaWidth*float64(h.Diameter)
		} else {
			l.drilled = true
		}
	}
	if was := c.same(mid); was != nil {
		was.via = false // a pin's land on a via
		if area(box) > area(was.box) {
			was.box, was.shape = box, shape(o)
		}
		return
	}
	l.shape = shape(o)
	c.add(l)
}

// same is the land flashed within concentric of a place, or nil.
func (c *landCollector) same(p geom.Point) *freeLand {
	for l := range c.at.around(p) {
		if geom.Distance(l.at, p) <= concentric {
			return l
		}
	}
	return nil
}

func (c *landCollector) add(l *freeLand) {
	c.at.add(l.at, l)
	c.out = append(c.out, l)
}

func (c *landCollector) isTaken(at geom.Point) bool {
	return slices.ContainsFunc(c.taken, func(p *board.Pad) bool { return p.Shape.Contains(at) })
}

func plausibleLand(box geom.Box) bool {
	w, h := width(box), height(box)
	return min(w, h) >= smallestLand && max(w, h) <= largestLand
}

func area(b geom.Box) float64 { return float64(width(b)) * float64(height(b)) }

// fills takes regions that an opening of about their size shows.
func (c *landCollector) fills() {
	if c.mask == nil {
		return
	}
	for o := range dark(c.a.layers[c.layer].img) {
		box := geom.Bounds(o.Rings)
		if o.Kind != gerber.Fill || !plausibleLand(box) || c.isTaken(box.Mid()) || c.same(box.Mid()) != nil {
			continue
		}
		k := c.mask.Locate(box.Mid())
		if k < 0 {
			continue
		}
		open := area((*c.a.b.Mask[c.side])[k].Bounds())
		inLand := func(l *freeLand) bool { return l.box.Holds(box.Mid()) || box.Holds(l.at) }
		if area(box) > open || area(box) < open*fillShare || slices.ContainsFunc(c.out, inLand) {
			continue
		}
		l := &freeLand{side: c.side, at: box.Mid(), box: box, shape: shape(o), file: c.file, line: o.Line}
		c.drill(l)
		c.add(l)
	}
}

// fillShare is how much of an opening a region must fill to be a land in it.
const fillShare = 0.1

// drill finds the hole in a land that no flash tells.
func (c *landCollector) drill(l *freeLand) {
	if l.hole = c.a.grid.Inside(l.shape, c.layer); l.hole >= 0 {
		h := c.a.b.Holes[l.hole]
		l.drilled = h.Diameter >= thinnestPin || h.At != h.To
	}
}

// openings takes what openings of the mask show of copper where no flash or
// region lies: lands that are painted by strokes, or a part of a pour.
func (c *landCollector) openings() {
	if c.mask == nil {
		return
	}
	var empty geom.Region
	for _, o := range *c.a.b.Mask[c.side] {
		if box := o.Bounds(); plausibleLand(box) && c.empty(o, box) {
			empty = append(empty, o)
		}
	}
	if len(empty) == 0 {
		return
	}
	in := geom.NewLocator(empty)
	bare := make([]geom.Region, len(empty))
	for _, p := range geom.Intersection(empty, c.a.b.Layers[c.layer].Copper) {
		if k := in.Locate(p.Outer[0]); k >= 0 {
			bare[k] = append(bare[k], p)
		}
	}
	for k, o := range empty {
		box := o.Bounds()
		if bare[k].Area() < confirmShare*o.Area() || c.isTaken(box.Mid()) {
			continue
		}
		l := &freeLand{side: c.side, at: box.Mid(), box: box, shape: bare[k], file: c.file}
		c.drill(l)
		c.add(l)
	}
}

// viaRim is how many times a via's flash an opening about it may measure.
const viaRim = 3

// empty tells whether an opening shows no land that is flashed, nor just a
// via.
func (c *landCollector) empty(o geom.Polygon, box geom.Box) bool {
	return !slices.ContainsFunc(c.out, func(l *freeLand) bool {
		return l.box.Holds(box.Mid()) || box.Holds(l.at) && o.Contains(l.at)
	}) && !slices.ContainsFunc(c.vias, func(v geom.Box) bool {
		return box.Holds(v.Mid()) && area(box) < viaRim*area(v)
	})
}
