package boardread

import (
	"ohmward/format/gerber"
	"ohmward/geom"
	"ohmward/internal/board"
)

// isName tells whether a net attribute names a net: an empty name means no
// net, and N/C marks a pad that is meant to stay alone.
func isName(net string) bool { return net != "" && net != "N/C" }

// netName gives the one net an object claims, "" when it claims none or more
// than one.
func netName(o *gerber.Object) string {
	if len(o.Nets) == 1 && isName(o.Nets[0]) {
		return o.Nets[0]
	}
	return ""
}

// labels collects the net claims of one copper layer, each with a place in
// copper that is the object's own (nothing cleared it later, whatever was
// painted there after that) and that no hole takes away. An object cleared or
// drilled away altogether gives no label, except that a place inside a plated hole will
// do: the hole's net is the object's.
func labels(layer int, file string, img *gerber.Image, in func(geom.Point) bool,
	holes *board.HoleGrid) []board.Label {
	var out []board.Label
	gone := newClearings(img)
	for i := range img.Objects {
		o := &img.Objects[i]
		name := netName(o)
		if name == "" || !o.Dark {
			continue
		}
		own := func(p geom.Point) bool { return in(p) && !gone.after(i, p) }
		if at, ok := solidPlace(o, layer, own, holes); ok {
			out = append(out, board.Label{Layer: layer, At: at, Net: name, File: file, Line: o.Line})
		}
	}
	return out
}

// solidPlace finds a place of the object that is copper after drilling, else
// one inside a plated hole.
func solidPlace(o *gerber.Object, layer int, in func(geom.Point) bool,
	holes *board.HoleGrid) (geom.Point, bool) {
	drilled, found := geom.Point{}, false
	for _, places := range []func() []geom.Point{
		func() []geom.Point { return firstPlaces(o) },
		func() []geom.Point { return geom.InsidePoints(o.Rings) },
	} {
		for _, p := range places() {
			switch {
			case !in(p):
			case holes.At(p, layer, board.AnyHole) < 0:
				return p, true
			case !found && holes.At(p, layer, board.PlatedHole) >= 0:
				drilled, found = p, true
			}
		}
	}
	return drilled, found
}

// firstPlaces are the cheap guesses: the middle of a flash, or of a straight
// stroke and then its start.
func firstPlaces(o *gerber.Object) []geom.Point {
	switch o.Kind {
	case gerber.Flash:
		if geom.Winding(o.Rings, o.At) != 0 {
			return []geom.Point{o.At}
		}
	case gerber.Draw:
		return []geom.Point{geom.Bounds(o.Rings).Mid(), o.At}
	}
	return nil
}
