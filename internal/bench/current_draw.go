package bench

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"ohmward/geom"
	"ohmward/internal/answer"
	"ohmward/internal/board"
	"ohmward/internal/copper"
	"ohmward/internal/engine"
	"ohmward/internal/picture"
	"ohmward/unit"
)

// What the picture of a current shows: layers that take a fiftieth of the
// drop, six at most, and density down to a 500th of the greatest.
const (
	panelShare = 0.02
	mostPanels = 6
	levelDepth = 500.0
)

// shortSign marks where a short's current enters the second net.
const shortSign = "S"

// FlowScene shows the density on the layers that carry the current.
func FlowScene(p *engine.Board, c CurrentOptions, legs []leg, a *answer.Current) *picture.Flow {
	last := len(p.Layout.Layers) - 1
	f := &picture.Flow{
		Title: fmt.Sprintf("%v from %s to %s through %s", c.Amps, spotText(p, legs[0].from),
			spotText(p, legs[len(legs)-1].to), strings.Join(a.Nets, " and ")),
		Bottom:  last > 0 && legs[0].from.Layer == last && legs[len(legs)-1].to.Layer == last,
		Outline: p.Layout.Outline, Unit: "A/mm of width",
		Caption: []string{
			fmt.Sprintf("%v, %v; %s", unit.Resistance(a.Ohms), unit.Voltage(a.Drop), hottestText(p, a.Hottest)),
			fmt.Sprintf("the hottest place is %.0f K warmer at %v", a.Safe.Rise,
				unit.Current(roundDown(a.Safe.MostAmps))),
		},
	}
	levels := densityLevels(legs, a.Amps)
	for _, v := range levels {
		f.Levels = append(f.Levels, strconv.FormatFloat(v, 'g', 3, 64))
	}
	box := geom.EmptyBox()
	for _, layer := range panelLayers(p, legs, a) {
		panel := panel(p, legs, layer, levels, a.Amps, f.Bottom)
		for _, rings := range panel.Above[:1] {
			for _, r := range rings {
				box = box.Join(r.Bounds())
			}
		}
		for _, m := range panel.Marks {
			box = box.Extend(m.At)
		}
		if a.Hottest.Kind == "hole" || p.Layout.Layers[layer].Name == a.Hottest.Layer {
			panel.Notes = []picture.Mark{{At: geom.FromMM(a.Hottest.X, a.Hottest.Y), Sign: "hottest"}}
		}
		f.Panels = append(f.Panels, panel)
	}
	const least, room = 1_000_000, 12 // nanometres; a part of the box's size
	f.Box = box.Grow(least + max(box.Max.X-box.Min.X, box.Max.Y-box.Min.Y)/room)
	return f
}

func hottestText(p *engine.Board, h answer.Hottest) string {
	return fmt.Sprintf("hottest %s at %s@%.1f,%.1f, %.2g A/mm", h.Kind, h.Layer, h.X, h.Y, h.Density)
}

// densityLevels are the numbers 1, 2, 5 of each decade, in amperes per
// millimetre, down from the greatest density.
func densityLevels(legs []leg, amps float64) []float64 {
	most := 0.0
	for _, l := range legs {
		for _, m := range l.flow.Maps() {
			most = max(most, m.Most*amps*1e-3)
		}
	}
	var levels []float64
	for decade := math.Floor(math.Log10(most)) - 3; decade <= math.Log10(most); decade++ {
		for _, k := range []float64{1, 2, 5} {
			if v := k * math.Pow(10, decade); v >= most/levelDepth && v < most {
				levels = append(levels, v)
			}
		}
	}
	return levels
}

// panelLayers lists the layers worth a panel, top first: also that of the
// hottest track, whatever its share.
func panelLayers(p *engine.Board, legs []leg, a *answer.Current) []int {
	ohmsOn := make([]float64, len(p.Layout.Layers))
	for _, l := range legs {
		for _, s := range l.flow.Sheets {
			ohmsOn[s.Layer] += s.Ohms
		}
	}
	var layers []int
	for layer, r := range ohmsOn {
		hottest := a.Hottest.Kind == "track" && p.Layout.Layers[layer].Name == a.Hottest.Layer
		if hottest {
			ohmsOn[layer] = math.Inf(1) // it stays when some must go
		}
		if r >= panelShare*a.Ohms || hottest {
			layers = append(layers, layer)
		}
	}
	// Where hardly a layer matters (all in holes), the one that does most.
	if len(layers) == 0 {
		layers = []int{slices.Index(ohmsOn, slices.Max(ohmsOn))}
	}
	if len(layers) > mostPanels {
		slices.SortStableFunc(layers, func(a, b int) int { return cmp.Compare(ohmsOn[b], ohmsOn[a]) })
		layers = layers[:mostPanels]
		slices.Sort(layers)
	}
	return layers
}

// panel is one layer's copper, density and places.
func panel(p *engine.Board, legs []leg, layer int, levels []float64, amps float64,
	fromBelow bool) picture.Panel {
	panel := picture.Panel{Name: panelName(p, layer, fromBelow), Parts: partsOn(p, layer),
		Above: make([][]geom.Ring, len(levels))}
	for _, l := range legs {
		panel.Copper = append(panel.Copper, p.Nets.Copper(l.from.Net, layer)...)
		for _, m := range l.flow.Maps() {
			if m.Layer != layer {
				continue
			}
			for k, v := range levels {
				panel.Above[k] = append(panel.Above[k], m.Above(v*1e3/amps)...)
			}
		}
	}
	last := legs[len(legs)-1]
	mark := func(s copper.Spot, lead picture.Lead, sign string) {
		if s.Layer == layer || s.Rim && layer >= p.Layout.Holes[s.Hole].First &&
			layer <= p.Layout.Holes[s.Hole].Last {
			text := spotText(p, s)
			if sign == shortSign {
				text = "the short, " + text
			}
			panel.Marks = append(panel.Marks, picture.Mark{At: s.At, Lead: lead, Sign: sign, Text: text})
		}
	}
	mark(legs[0].from, picture.Red, "I+")
	mark(last.to, picture.Black, "I−")
	if len(legs) == 2 {
		mark(last.from, picture.Black, shortSign)
	}
	return panel
}

// panelName names a layer and how it is looked at: both places on the bottom
// are looked at from there.
func panelName(p *engine.Board, layer int, fromBelow bool) string {
	name, last := p.Layout.Layers[layer].Name, len(p.Layout.Layers)-1
	switch {
	case layer > 0 && layer < last:
		return name + ", inner, seen from the " + faceName(fromBelow)
	case (layer == last && last > 0) == fromBelow:
		return name + ", " + faceName(fromBelow)
	}
	return name + ", " + faceName(!fromBelow) + ", seen through the board from the " + faceName(fromBelow)
}

func faceName(below bool) string {
	if below {
		return "bottom"
	}
	return "top"
}

// partsOn lists the outlines of the parts on an outer layer.
func partsOn(p *engine.Board, layer int) (out []picture.Part) {
	side := board.Top
	switch layer {
	case 0:
	case len(p.Layout.Layers) - 1:
		side = board.Bottom
	default:
		return nil
	}
	for _, part := range p.Layout.Parts {
		if part.Side == side && len(part.Body) >= 3 {
			out = append(out, picture.Part{Name: part.Ref, Body: part.Body})
		}
	}
	return out
}
