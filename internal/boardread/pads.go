package boardread

import (
	"slices"

	"ohmward/format/gerber"
	"ohmward/geom"
	"ohmward/internal/board"
)

// confirmShare is the part of a region's area that mask openings must cover
// to make it a pad.
const confirmShare = 0.5

// bodyOverFlash is how much larger than the flash in it a region may be and
// still be the pad's body where no mask opening tells.
const bodyOverFlash = 6

// pinKey is one pin on one layer.
type pinKey struct {
	layer    int
	ref, pin string
}

// padCollector collects pads of one copper layer.
type padCollector struct {
	layer int
	file  string
	mask  []opening // over this layer; none when unknown or inside
	holes *board.HoleGrid
}

// collect gives the layer's pads. A flash that carries a pin is a pad, unless
// its aperture is a via's or a conductor's. A region that carries a pin
// belongs to the pad whose flash lies in it, whichever pin it names; without
// a flash it is a pad when mask openings show most of it and the pin's other
// pads are of its net. Strokes are never pads. All this because some writers
// leave pin attributes standing on what follows a pad.
func (c *padCollector) collect(img *gerber.Image) []board.Pad {
	var pads []board.Pad
	byPin := map[pinKey][]int{}
	key := func(o *gerber.Object) pinKey { return pinKey{c.layer, o.Ref, o.Pin} }
	for o := range dark(img) {
		if o.Kind != gerber.Flash || !isPin(o) || !landFunctions[first(o.Function)] {
			continue
		}
		k := key(o)
		if j := sameFlash(pads, byPin[k], o.At); j >= 0 {
			pads[j].Shape = geom.Union(pads[j].Shape, shape(o))
			continue
		}
		byPin[k] = append(byPin[k], len(pads))
		pads = append(pads, c.pad(o, o.At, shape(o)))
	}
	for o := range dark(img) {
		if o.Kind != gerber.Fill || !isPin(o) {
			continue
		}
		body := shape(o)
		if len(body) == 0 {
			continue
		}
		open := c.opened(body)
		if inside := flashesInside(pads, o.Rings, body.Bounds()); len(inside) > 0 {
			j := inside[0]
			fits := open || body.Area() <= bodyOverFlash*pads[j].Shape.Area()
			if len(inside) == 1 && fits && pads[j].Net == netName(o) {
				pads[j].Shape = geom.Union(pads[j].Shape, body)
			}
			continue
		}
		if !open || otherNet(pads, byPin[key(o)], netName(o)) {
			continue
		}
		at, ok := padMiddle(o)
		if !ok {
			continue
		}
		k := key(o)
		byPin[k] = append(byPin[k], len(pads))
		pads = append(pads, c.pad(o, at, body))
	}
	return pads
}

// opening is one mask opening and its box.
type opening struct {
	shape geom.Polygon
	box   geom.Box
}

func openings(mask *geom.Region) []opening {
	if mask == nil {
		return nil
	}
	out := make([]opening, len(*mask))
	for i, p := range *mask {
		out[i] = opening{p, p.Bounds()}
	}
	return out
}

// opened tells whether mask openings show most of a shape.
func (c *padCollector) opened(body geom.Region) bool {
	box := body.Bounds()
	var over geom.Region
	for _, o := range c.mask {
		if o.box.Touches(box) {
			over = append(over, o.shape)
		}
	}
	return len(over) > 0 && geom.Intersection(body, over).Area() >= confirmShare*body.Area()
}

// landFunctions are the aperture functions of a part's lands; "" where the
// writer does not say. A flash of another function (a via, a conductor) that
// carries a pin carries it by mistake.
var landFunctions = map[string]bool{
	"": true, "ComponentPad": true, "SMDPad": true, "BGAPad": true, "ConnectorPad": true,
	"HeatsinkPad": true, "TestPad": true, "CastellatedPad": true, "WasherPad": true,
	"FiducialPad": true, "ThermalReliefPad": true, "EtchedComponent": true, "Other": true,
}

func isPin(o *gerber.Object) bool { return o.Ref != "" && o.Pin != "" }

func first(s []string) string {
	if len(s) == 0 {
		return ""
	}
	return s[0]
}

func (c *padCollector) pad(o *gerber.Object, at geom.Point, body geom.Region) board.Pad {
	p := board.Pad{Layer: c.layer, At: at, Shape: body, Ref: o.Ref, Pin: o.Pin, Function: first(o.Function),
		Net: netName(o), Hole: -1, File: c.file, Line: o.Line}
	p.Hole = c.holes.At(at, c.layer, board.PlatedHole)
	if p.Hole < 0 && p.Function != "SMDPad" && p.Function != "BGAPad" {
		p.Hole = c.holes.Inside(body, c.layer)
	}
	return p
}

// sameFlash finds a pad of the pin flashed at the very place: some writers
// build one pad from several flashes.
func sameFlash(pads []board.Pad, of []int, at geom.Point) int {
	if k := slices.IndexFunc(of, func(j int) bool { return pads[j].At == at }); k >= 0 {
		return of[k]
	}
	return -1
}

// flashesInside lists the pads whose flash lies in a region.
func flashesInside(pads []board.Pad, rings []geom.Ring, box geom.Box) []int {
	var out []int
	for j := range pads {
		if box.Holds(pads[j].At) && geom.Winding(rings, pads[j].At) != 0 {
			out = append(out, j)
		}
	}
	return out
}

// otherNet tells whether the pin's pads so far are of another net: then the
// pin was left standing from an earlier object.
func otherNet(pads []board.Pad, of []int, net string) bool {
	return slices.ContainsFunc(of, func(j int) bool { return pads[j].Net != net })
}

// padMiddle is the middle of the region's box when it lies inside, else a
// place that does.
func padMiddle(o *gerber.Object) (geom.Point, bool) {
	if mid := geom.Bounds(o.Rings).Mid(); geom.Winding(o.Rings, mid) != 0 {
		return mid, true
	}
	if in := geom.InsidePoints(o.Rings); len(in) > 0 {
		return in[0], true
	}
	return geom.Point{}, false
}

// shape is the object's own area.
func shape(o *gerber.Object) geom.Region {
	r, err := geom.PaintBounded([]geom.Coat{{Dark: true, Rings: o.Rings}})
	if err != nil {
		return nil // the layer's own painting tells of it
	}
	return r
}
