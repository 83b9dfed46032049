package main

import (
	"fmt"
	"sort"
)

// gerberFile is one layer image and what draws it.
type gerberFile struct {
	path, function, polarity string
	draw                     func(b *board) []byte
}

// gerberFiles are all layer images of the board.
var gerberFiles = []gerberFile{
	layerImage("RL-40-copper-top.gbr", "Copper,L1,Top", "Positive", drawCopper(0)),
	layerImage("RL-40-copper-bottom.gbr", "Copper,L2,Bot", "Positive", drawCopper(1)),
	layerImage("RL-40-mask-top.gbr", "Soldermask,Top", "Negative", drawMask(top)),
	layerImage("RL-40-mask-bottom.gbr", "Soldermask,Bot", "Negative", drawMask(bottom)),
	layerImage("RL-40-paste-top.gbr", "Paste,Top", "Positive", drawPaste(top)),
	layerImage("RL-40-paste-bottom.gbr", "Paste,Bot", "Positive", drawPaste(bottom)),
	layerImage("RL-40-legend-top.gbr", "Legend,Top", "Positive", drawLegend),
	layerImage("RL-40-profile.gbr", "Profile,NP", "Positive", drawProfile),
	layerImage("RL-40-component-top.gbr", "Component,L1,Top", "", drawComponents),
}

func layerImage(path, function, polarity string, draw func(w *gerberWriter, b *board)) gerberFile {
	return gerberFile{path, function, polarity, func(b *board) []byte {
		w := newGerber(function, polarity)
		draw(w, b)
		return w.bytes()
	}}
}

// aperture is the shape of a land as an aperture, grown by d all round.
func aperture(l land, d int) string {
	switch l.form {
	case 'C':
		return "C," + mm(l.w+2*d)
	case 'O':
		return "O," + mm(l.w+2*d) + "X" + mm(l.h+2*d)
	}
	return "R," + mm(l.w+2*d) + "X" + mm(l.h+2*d)
}

// netAttr is a land's .N value.
func (b *board) netAttr(l land) attribute {
	switch {
	case l.net != noNet:
		return attr(".N", b.nets[l.net])
	case l.function == footprints["FID"].function:
		return attr(".N", "")
	}
	return attr(".N", "N/C")
}

// drawCopper paints the pour, then clears its holes, then all else.
func drawCopper(layer int) func(w *gerberWriter, b *board) {
	return func(w *gerberWriter, b *board) {
		drawPour(w, b, layer)
		bit := uint8(1 << layer)
		for _, t := range append(append([]track(nil), b.spokes...), b.tracks...) {
			if t.layer == bit {
				w.aperture("C,"+mm(t.width), "Conductor")
				w.with(attr(".N", b.nets[t.net]))
				w.line(t.a, t.b)
			}
		}
		for _, l := range b.lands {
			if l.layers&bit != 0 {
				w.aperture(aperture(l, 0), l.function)
				w.with(b.netAttr(l), attr(".P", l.ref, l.pin))
				w.flash(l.at)
			}
		}
		for _, v := range b.vias {
			w.aperture("C,"+mm(viaPad), "ViaPad")
			w.with(attr(".N", b.nets[v.net]))
			w.flash(v.at)
		}
	}
}

// drawPour paints the pieces of pour, larger ones first, since a smaller one
// may lie in a hole of a larger.
func drawPour(w *gerberWriter, b *board, layer int) {
	pieces := append([]piece(nil), b.pour[layer]...)
	sort.SliceStable(pieces, func(i, j int) bool { return area2(pieces[i].outer) > area2(pieces[j].outer) })
	for _, p := range pieces {
		w.setClear(false)
		w.with(attr(".N", "GND"))
		fmt.Fprintf(&w.body, "%%TA.AperFunction,Conductor*%%\n")
		w.region(p.outer)
		fmt.Fprintf(&w.body, "%%TD.AperFunction*%%\n")
		w.with()
		for _, h := range p.holes {
			w.setClear(true)
			w.region(h)
		}
	}
	w.setClear(false)
}

// fiducialMask is the diameter of the mask opening around a fiducial.
const fiducialMask = 2000

// drawMask draws the openings: pads and unplated holes; vias stay covered.
func drawMask(side uint8) func(w *gerberWriter, b *board) {
	return func(w *gerberWriter, b *board) {
		for _, l := range b.lands {
			if l.layers&side == 0 {
				continue
			}
			w.aperture(maskAperture(l), "")
			w.with(attr(".C", l.ref))
			w.flash(l.at)
		}
		w.with()
		for _, h := range b.holes {
			w.aperture("C,"+mm(h.diameter+200), "")
			w.flash(h.at)
		}
	}
}

func maskAperture(l land) string {
	if l.function == footprints["FID"].function {
		return "C," + mm(fiducialMask)
	}
	return aperture(l, maskGrow)
}

// drawPaste draws the stencil: all surface pads that are soldered.
func drawPaste(side uint8) func(w *gerberWriter, b *board) {
	return func(w *gerberWriter, b *board) {
		for _, p := range b.parts {
			for _, i := range p.lands {
				l := b.lands[i]
				if footprints[p.footprint].paste && l.layers == side {
					w.aperture(aperture(l, 0), "")
					w.with(attr(".C", l.ref))
					w.flash(l.at)
				}
			}
		}
	}
}

// drawProfile draws the board's edge with its rounded corners.
func drawProfile(w *gerberWriter, _ *board) {
	const r = cornerR
	w.aperture("C,"+mm(100), "Profile")
	corners := []struct{ from, arcTo, next point }{
		{point{boardW - r, 0}, point{boardW, r}, point{boardW, boardH - r}},
		{point{boardW, boardH - r}, point{boardW - r, boardH}, point{r, boardH}},
		{point{r, boardH}, point{0, boardH - r}, point{0, r}},
		{point{0, r}, point{r, 0}, point{boardW - r, 0}},
	}
	centres := []point{{boardW - r, r}, {boardW - r, boardH - r}, {r, boardH - r}, {r, r}}
	fmt.Fprintf(&w.body, "%sD02*\n", xy(corners[0].from))
	for i, c := range corners {
		fmt.Fprintf(&w.body, "G03*\n%sI%d000J%d000D01*\n", xy(c.arcTo), centres[i].x-c.from.x,
			centres[i].y-c.from.y)
		fmt.Fprintf(&w.body, "G01*\n%sD01*\n", xy(c.next))
	}
}
