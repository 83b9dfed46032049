package picture

import (
	"fmt"
	"image/color"
	"io"
	"math"
	"slices"

	"ohmward/geom"
)

// Flow is a picture of a current in a net: one panel for each layer that
// carries a share of it, the copper quiet and the density as one ink on it,
// the denser the darker. All panels look from one side, so that what lies over
// one another on the board does so on them.
type Flow struct {
	Title   string      // over the picture
	Bottom  bool        // seen from below
	Caption []string    // lines under it
	Box     geom.Box    // what every panel shows
	Outline geom.Region // the board's
	Levels  []string    // what each level stands for, least first: "0.5"
	Unit    string      // of the levels
	Panels  []Panel     // from the top layer down
}

// Panel is one layer.
type Panel struct {
	Name   string        // of the layer
	Copper geom.Region   // the net's, on this layer
	Parts  []Part        // on this layer, quiet
	Above  [][]geom.Ring // where each level is reached
	Marks  []Mark        // the places on this layer
	Notes  []Mark        // small marks: the hottest place
}

// The copper without current, and the ink of the current at its densest.
var (
	idle = color.NRGBA{0xd9, 0xd3, 0xc6, 0xff}
	run  = color.NRGBA{0x35, 0x0f, 0x6b, 0xff}
)

// inkOf gives the ink of a level, from the copper's own to the full ink in
// even steps, so that lightness falls with every level.
func inkOf(level, levels int) color.NRGBA {
	s := float64(level+1) / float64(levels)
	mix := func(a, b uint8) uint8 { return uint8(math.Round(float64(a) + s*(float64(b)-float64(a)))) }
	return color.NRGBA{mix(idle.R, run.R), mix(idle.G, run.G), mix(idle.B, run.B), 0xff}
}

// Sizes of the flow's picture, beside those of layout.go.
const (
	panelHead  = 34.0
	captionRow = 30.0
)

// flowLayout is where the panels stand.
type flowLayout struct {
	height int
	views  []view
}

func (f *Flow) layout() flowLayout {
	w := float64(max(1, f.Box.Max.X-f.Box.Min.X))
	aspect := float64(max(1, f.Box.Max.Y-f.Box.Min.Y)) / w
	columns := 1
	if len(f.Panels) > 1 && aspect > 0.4 {
		columns = 2
	}
	wide := (width - 2*margin - between*float64(columns-1)) / float64(columns)
	tall := max(220, min(1000, wide*aspect))
	rows := (len(f.Panels) + columns - 1) / columns
	var l flowLayout
	for i := range f.Panels {
		x := margin + float64(i%columns)*(wide+between)
		y := headRoom + float64(i/columns)*(tall+panelHead+between) + panelHead
		l.views = append(l.views, newView(f.Box, rect{x, y, wide, tall}, f.Bottom))
	}
	foot := footRoom + captionRow*float64(max(0, len(f.Caption)-1))
	l.height = int(math.Ceil(headRoom + float64(rows)*(tall+panelHead+between) + foot))
	return l
}

// SaveFlow draws the flow into a file, PNG or SVG by the ending, as Save does.
func SaveFlow(path string, f *Flow) error { return f.drawing().save(path) }

// FlowPNG draws the flow as PNG does a scene.
func FlowPNG(w io.Writer, f *Flow) error { return f.drawing().png(w) }

func (f *Flow) drawing() drawing {
	l := f.layout()
	return drawing{width, l.height, func(c canvas) { f.paint(c, l) }}
}

func (f *Flow) paint(c canvas, l flowLayout) {
	whole := rect{0, 0, width, float64(l.height)}
	c.text(pt{margin, 46}, left, 30, true, fitted(f.Title, 30, true, width-2*margin), words)
	f.drawLegend(c)
	for i, p := range f.Panels {
		v := l.views[i]
		c.clip(whole)
		c.text(pt{v.frame.x, v.frame.y - 11}, left, 20, true, fitted(p.Name, 20, true, v.frame.w), words)
		c.clip(v.frame)
		f.drawPanel(c, p, v)
		c.clip(whole)
		c.line(frameRing(v.frame), true, 1.2, share(edge, 0.8))
	}
	c.clip(whole)
	y := float64(l.height) - 34 - captionRow*float64(max(0, len(f.Caption)-1))
	if len(l.views) > 0 {
		drawBar(c, l.views[0], pt{margin, y}, 220)
	}
	for i, line := range f.Caption {
		c.text(pt{margin + 300, y + captionRow*float64(i)}, left, 22, i == 0,
			fitted(line, 22, i == 0, width-2*margin-300), words)
	}
}

func (f *Flow) drawPanel(c canvas, p Panel, v view) {
	c.fill(v.region(f.Outline), laminate)
	c.fill(v.region(p.Copper), idle)
	for k, rings := range p.Above {
		if paths := v.rings(rings); len(paths) > 0 {
			c.fill(paths, inkOf(k, len(p.Above)))
		}
	}
	drawParts(c, p.Parts, v, 1)
	taken := busy(p, v)
	for _, m := range slices.Concat(p.Marks, p.Notes) {
		taken = append(taken, squareAt(v.at(m.At), 8))
	}
	boxes := len(taken)
	for _, m := range p.Marks {
		taken = append(taken, nextBox(m, v, taken))
	}
	for _, m := range p.Notes {
		taken = append(taken, drawTaken(c, m, v, taken))
	}
	for i, m := range p.Marks {
		drawNext(c, m, v, taken[boxes+i])
	}
}

// busy gives small rectangles along the outlines of the denser half of the
// levels, for labels to keep off.
func busy(p Panel, v view) (spots []rect) {
	const size, most = 6.0, 300
	var dense []geom.Point
	for _, r := range slices.Concat(p.Above[len(p.Above)/2:]...) {
		dense = append(dense, r...)
	}
	step := len(dense)/most + 1
	for k := step - 1; k < len(dense); k += step {
		spots = append(spots, squareAt(v.at(dense[k]), size/2))
	}
	return spots
}

// drawLegend names what each ink stands for.
func (f *Flow) drawLegend(c canvas) {
	x := margin
	swatch := func(ink color.NRGBA, text string) {
		c.fill([]path{frameRing(rect{x, 62, 26, 18})}, ink)
		c.text(pt{x + 32, 78}, left, 18, false, text, words)
		x += 32 + textWidth(text, 18, false) + 16
	}
	swatch(idle, "copper")
	for k, level := range f.Levels {
		swatch(inkOf(k, len(f.Levels)), fmt.Sprintf("≥ %s", level))
	}
	c.text(pt{x, 78}, left, 18, false, f.Unit, words)
}
