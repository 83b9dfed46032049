package session

import (
	"fmt"
	"math"
	"strings"

	"ohmward/geom"
	"ohmward/internal/answer"
	"ohmward/internal/board"
	"ohmward/internal/copper"
	"ohmward/internal/engine"
)

// lie is how the board lies before the user: turned over, and by how many
// quarters it is rotated clockwise as seen from the top.
type lie struct {
	bottom bool
	turns  int
}

// seen turns a direction on the board into the one that the user sees.
func (as lie) seen(dx, dy float64) (x, y float64) {
	for range as.turns {
		dx, dy = dy, -dx
	}
	if as.bottom {
		dx = -dx
	}
	return dx, dy
}

// SpotWords puts a place into words, for a board that lies as in its files.
func SpotWords(p *engine.Board, spot copper.Spot) answer.SpotWords {
	return spotWords(p, spot, lie{bottom: isBottom(p.Layout, spot.Layer) && !spot.Rim})
}

func spotWords(p *engine.Board, spot copper.Spot, as lie) answer.SpotWords {
	x, y := spot.At.MM()
	s := answer.SpotWords{Place: p.PlaceText(spot), Layer: p.Layout.Layers[spot.Layer].Name, X: x, Y: y}
	s.Bottom = as.bottom
	s.Words = pinWords(p, spot, as)
	s.Part, _, _ = strings.Cut(spot.Pin, ".")
	return s
}

func pinWords(p *engine.Board, spot copper.Spot, as lie) string {
	part := partNamed(p, spot.Pin)
	if part == nil {
		part = partUnder(p, spot)
	}
	if part == nil {
		return offPinWords(p, spot, as)
	}
	_, pin, _ := strings.Cut(spot.Pin, ".")
	switch pins := p.Pins(*part); {
	case pins == 1 && strings.HasPrefix(part.Ref, "TP"):
		return "test point " + part.Ref
	case pins == 1:
		return part.Ref
	case pins == 2:
		return fmt.Sprintf("%s, the %s", part.Ref, endWords(p, part, spot.At, as))
	case pin == "":
		return fmt.Sprintf("a pad of %s, %s", part.Ref, cornerWords(p, part, spot.At, as))
	case isTab(pin):
		return fmt.Sprintf("tab %s of %s, %s", pin, part.Ref, cornerWords(p, part, spot.At, as))
	default:
		return fmt.Sprintf("pin %s of %s, %s", pin, part.Ref, cornerWords(p, part, spot.At, as))
	}
}

// partNamed gives the part of a pin written "C7.1", or nil.
func partNamed(p *engine.Board, pin string) *board.Part {
	ref, _, ok := strings.Cut(pin, ".")
	if !ok {
		return nil
	}
	return partCalled(p, ref)
}

// partCalled gives the part of that reference, or nil.
func partCalled(p *engine.Board, ref string) *board.Part {
	for i := range p.Layout.Parts {
		if p.Layout.Parts[i].Ref == ref {
			return &p.Layout.Parts[i]
		}
	}
	return nil
}

// partUnder gives the part whose pad without a pin's name holds a place, or
// nil.
func partUnder(p *engine.Board, spot copper.Spot) *board.Part {
	for i := range p.Layout.Parts {
		for _, k := range p.Layout.Parts[i].Pads {
			pad := &p.Layout.Pads[k]
			under := pad.Layer == spot.Layer && pad.Shape.Contains(spot.At)
			if pad.Pin == "" && (under || spot.Rim && pad.Hole == spot.Hole) {
				return &p.Layout.Parts[i]
			}
		}
	}
	return nil
}

// isTab tells whether a pin's name is that of a shell's or a screw's tab.
func isTab(pin string) bool {
	for _, start := range []string{"S", "SH", "MP", "M", "TAB"} {
		if rest, ok := strings.CutPrefix(pin, start); ok && strings.Trim(rest, "0123456789") == "" {
			return true
		}
	}
	return false
}

// endWords tells the two ends of a part apart by the part next to it, else by how
// the board lies.
func endWords(p *engine.Board, part *board.Part, at geom.Point, as lie) string {
	other := at
	for _, i := range part.Pads {
		if q := p.Layout.Pads[i].At; engine.DistanceMM(q, at) > engine.DistanceMM(other, at) {
			other = q
		}
	}
	const clear = 0.6 // the difference of distances, as a share of the part's length, that the eye sees
	best, name := math.Inf(1), ""
	for i := range p.Layout.Parts {
		q := &p.Layout.Parts[i]
		if q.Ref == part.Ref || q.Side != part.Side || len(q.Body) == 0 || strings.HasPrefix(q.Ref, "TP") {
			continue
		}
		near, far := engine.DistanceMM(q.At, at), engine.DistanceMM(q.At, other)
		if far-near > clear*engine.DistanceMM(at, other) && near < best {
			best, name = near, q.Ref
		}
	}
	const beside = 12.0 // millimetres: farther off is no neighbour
	if name != "" && best < beside {
		return "end nearer " + name
	}
	return directionWords(float64(at.X-other.X), float64(at.Y-other.Y), as) + " end"
}

// cornerWords tells where in a part a pin lies.
func cornerWords(p *engine.Board, part *board.Part, at geom.Point, as lie) string {
	box := geom.EmptyBox()
	for _, i := range part.Pads {
		box = box.Extend(p.Layout.Pads[i].At)
	}
	w, h := float64(box.Max.X-box.Min.X), float64(box.Max.Y-box.Min.Y)
	dx := float64(2*at.X-box.Min.X-box.Max.X) / max(w, 1)
	dy := float64(2*at.Y-box.Min.Y-box.Max.Y) / max(h, 1)
	if w < h/8 {
		dx = 0
	}
	if h < w/8 {
		dy = 0
	}
	dx, dy = as.seen(dx, dy)
	across, along := directionWords(dx, 0, lie{}), directionWords(0, dy, lie{})
	switch {
	case math.Abs(dx) < 0.34 && math.Abs(dy) < 0.34:
		return "in its middle"
	case math.Abs(dx) < 0.34:
		return "at its " + along + " edge"
	case math.Abs(dy) < 0.34:
		return "at its " + across + " edge"
	}
	return fmt.Sprintf("%s %s", along, across)
}

// directionWords names a direction on the board as it lies before the user: turned over,
// left and right change, and a rotated one is told as it is seen.
func directionWords(dx, dy float64, as lie) string {
	dx, dy = as.seen(dx, dy)
	switch {
	case math.Abs(dx) >= math.Abs(dy) && dx < 0:
		return "left"
	case math.Abs(dx) >= math.Abs(dy):
		return "right"
	case dy < 0:
		return "lower"
	}
	return "upper"
}

// offPinWords describes a place off any pin by the nearest part.
func offPinWords(p *engine.Board, spot copper.Spot, as lie) string {
	what := "bare copper"
	if p.Nets.InHole(spot) {
		what = rimWords(p.Layout.Holes[spot.Hole].Diameter)
	}
	best, name, away := math.Inf(1), "", geom.Point{}
	for i := range p.Layout.Pads {
		if mm := engine.DistanceMM(p.Layout.Pads[i].At, spot.At); mm < best {
			q := p.Layout.Pads[i]
			best, name, away = mm, q.Ref, q.At
		}
	}
	if name == "" {
		x, y := spot.At.MM()
		return fmt.Sprintf("%s at %.1f, %.1f mm", what, x, y)
	}
	return fmt.Sprintf("%s %.1f mm %s %s", what, best,
		besideWords(float64(spot.At.X-away.X), float64(spot.At.Y-away.Y), as), name)
}

// rimWords names a plated hole off any pin; in a wide one a tip finds only air.
func rimWords(diameter int64) string {
	const mounting = 1_000_000
	if diameter < mounting {
		return "the bare via"
	}
	return fmt.Sprintf("the rim of the %.1f mm hole", float64(diameter)*1e-6)
}

func besideWords(dx, dy float64, as lie) string {
	switch d := directionWords(dx, dy, as); d {
	case "upper":
		return "above"
	case "lower":
		return "below"
	default:
		return d + " of"
	}
}

// siteWords says where two nets could touch.
func siteWords(s answer.Site) string {
	near := ""
	switch len(s.Near) {
	case 0:
		near = fmt.Sprintf("at %.1f, %.1f mm", s.X, s.Y)
	case 1:
		near = "at " + s.Near[0]
	default:
		near = "between " + s.Near[0] + " and " + s.Near[1]
	}
	switch s.Kind {
	case "part":
		return "inside " + s.Part
	case "metal":
		return "at the metal of " + s.Part + ", " + near
	case "layers":
		return "through the board, " + near
	}
	return near
}
