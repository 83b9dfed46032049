package copper

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"ohmward/geom"
	"ohmward/internal/board"
	"ohmward/internal/nearest"
)

// offCopper is how far, in nanometres, a place may lie off the copper and
// still count as on it.
const offCopper = 2000

// Spot is a place a contact stands on, found on the copper.
type Spot struct {
	Layer int        // 0-based
	At    geom.Point // the disc's centre, or the middle of the rim's hole
	Net   int        // index into Nets.Nets
	Hole  int        // the nearest plated hole whose rim the contact takes along, or -1
	Holes []int      // all such holes, nearest first
	Rim   bool       // the contact is the rim of Hole itself, not a disc
	Pin   string     // "C7.1" when the place is a pin or lies on its pad, else ""
}

// Resolve finds where a place lies.
func (n *Nets) Resolve(p Place) (Spot, error) {
	if p.Pin != "" {
		return n.resolvePin(p.Pin)
	}
	return n.resolvePoint(p)
}

func (n *Nets) resolvePoint(p Place) (Spot, error) {
	if p.Layer < 0 || p.Layer >= len(n.Layers) {
		return Spot{}, fmt.Errorf("place %s: the board has no layer %s: it has L1 to L%d", p, layerName(p.Layer),
			len(n.Layers))
	}
	if net, ok := n.NetAt(p.Layer, p.At); ok {
		h := n.holes.At(p.At, p.Layer, board.PlatedHole)
		return n.discSpot(p.Layer, p.At, net, n.padName(p.Layer, p.At, h)), nil
	}
	piece, on, dist := n.nearestCopper(p.Layer, p.At)
	if dist <= offCopper {
		return n.discSpot(p.Layer, p.At, n.PieceNet(piece), n.padName(p.Layer, on, -1)), nil
	}
	if math.IsInf(dist, 1) {
		return Spot{}, fmt.Errorf("place %s: layer %s has no copper", p, layerName(p.Layer))
	}
	where := "is on bare laminate"
	if h := n.holes.At(p.At, p.Layer, board.AnyHole); h >= 0 {
		where = fmt.Sprintf("is in an unplated hole of %.1f mm, which has no copper rim",
			float64(n.Board.Holes[h].Diameter)*1e-6)
	}
	return Spot{}, fmt.Errorf("place %s %s: the nearest copper is at %s, %.3f mm away, net %s",
		p, where, millimetres(on), dist*1e-6, n.Nets[n.PieceNet(piece)].Name)
}

// InHole tells whether a contact's centre is in the air of a plated hole, so
// that it is the hole's rim that is touched.
func (n *Nets) InHole(s Spot) bool {
	return s.Rim || s.Hole >= 0 && n.Board.Holes[s.Hole].Holds(s.At)
}

// rimSpot is a contact with a plated hole's rim.
func (n *Nets) rimSpot(layer, hole int, pin string) Spot {
	h := n.Board.Holes[hole]
	return Spot{Layer: layer, At: h.Mid(), Net: n.holeNet[hole], Hole: hole, Holes: []int{hole}, Rim: true,
		Pin: pin}
}

// discSpot is a tip's disc, with the rims it takes along.
func (n *Nets) discSpot(layer int, at geom.Point, net int, pin string) Spot {
	s := Spot{Layer: layer, At: at, Net: net, Hole: -1, Pin: pin}
	for _, h := range n.holes.Touching(at, layer, n.Tip/2) {
		if n.holeNet[h] == net {
			s.Holes = append(s.Holes, h)
		}
	}
	if len(s.Holes) > 0 {
		s.Hole = s.Holes[0]
	}
	return s
}

// padName gives the pin whose pad holds the place or has the hole, "" for
// none.
func (n *Nets) padName(layer int, at geom.Point, hole int) string {
	for i := range n.Board.Pads {
		p := &n.Board.Pads[i]
		if hole >= 0 && p.Hole == hole || p.Layer == layer && n.padBox[i].Holds(at) && p.Shape.Contains(at) {
			return p.PinName()
		}
	}
	return ""
}

func (n *Nets) resolvePin(pin string) (Spot, error) {
	pads := n.pins[pin]
	if len(pads) == 0 {
		return Spot{}, n.unknownPin(pin)
	}
	places := n.distinct(pads)
	if len(places) > 1 {
		var where []string
		for _, i := range places {
			p := &n.Board.Pads[i]
			where = append(where, layerName(p.Layer)+"@"+millimetres(p.At))
		}
		return Spot{}, fmt.Errorf("pin %s has %d pads: name one by its place: %s", pin, len(places),
			strings.Join(where, " "))
	}
	p := &n.Board.Pads[places[0]]
	if p.Hole >= 0 && n.holeNet[p.Hole] >= 0 && n.Board.Holes[p.Hole].Holds(p.At) {
		return n.rimSpot(p.Layer, p.Hole, pin), nil
	}
	net := n.padNet[places[0]]
	if net < 0 {
		return Spot{}, fmt.Errorf("pin %s: no copper is left of its pad at %s@%s", pin, layerName(p.Layer),
			millimetres(p.At))
	}
	for at := range padPlaces(p) {
		if on, ok := n.NetAt(p.Layer, at); ok && on == net {
			return n.discSpot(p.Layer, at, net, pin), nil
		}
	}
	return n.discSpot(p.Layer, p.At, net, pin), nil
}

// distinct reduces a pin's pads to those a probe can tell apart: pads of one
// drilled hole are one, and pads that lie within a larger pad of the pin, or
// whose hole does, are part of it. The first is the one to touch.
func (n *Nets) distinct(pads []int) []int {
	order := slices.Clone(pads)
	slices.SortStableFunc(order, func(i, j int) int {
		a, b := &n.Board.Pads[i], &n.Board.Pads[j]
		return cmp.Or(cmp.Compare(b.Shape.Area(), a.Shape.Area()), cmp.Compare(a.Layer, b.Layer))
	})
	var keep []int
	for _, i := range order {
		p := &n.Board.Pads[i]
		covered := slices.ContainsFunc(keep, func(k int) bool {
			o := &n.Board.Pads[k]
			on := p.Layer == o.Layer || p.Hole >= 0 && n.Board.Holes[p.Hole].Spans(o.Layer)
			return p.Hole >= 0 && p.Hole == o.Hole || on && o.Shape.Contains(p.At)
		})
		if !covered {
			keep = append(keep, i)
		}
	}
	return keep
}

func (n *Nets) unknownPin(pin string) error {
	ref, _, _ := strings.Cut(pin, ".")
	var refs, pins, places []string
	for i := range n.Board.Parts {
		part := &n.Board.Parts[i]
		refs = append(refs, part.Ref)
		if part.Ref != ref {
			continue
		}
		for _, k := range part.Pads {
			p := &n.Board.Pads[k]
			if p.Pin == "" {
				places = append(places, layerName(p.Layer)+"@"+millimetres(p.At))
			} else if !slices.Contains(pins, p.Pin) {
				pins = append(pins, p.Pin)
			}
		}
	}
	switch near, ok := nearest.Name(ref, refs); {
	case len(refs) == 0:
		return fmt.Errorf("pin %s: the files name no parts: give the place as L1@x,y", pin)
	case len(pins) > 0:
		return fmt.Errorf("part %s has no pin %s: its pins are %s", ref, pin[len(ref)+1:], listed(pins, 12))
	case len(places) > 0:
		return fmt.Errorf("part %s: no file tells which of its pads is pin %s: name one by its place: %s", ref,
			pin[len(ref)+1:], listed(places, 12))
	case ok:
		return fmt.Errorf("pin %s: the board has no part %s: did you mean %s", pin, ref, near)
	}
	return fmt.Errorf("pin %s: the board has no part %s", pin, ref)
}

// listed joins at most k names.
func listed(names []string, k int) string {
	if len(names) > k {
		return strings.Join(names[:k], " ") + fmt.Sprintf(" and %d more", len(names)-k)
	}
	return strings.Join(names, " ")
}

// ByName finds a net by its name, by another name the data gives it, or by a
// place on it.
func (n *Nets) ByName(name string) (int, error) {
	if id, ok := n.byName[name]; ok {
		return id, nil
	}
	if id, ok := n.byOwnName(name); ok {
		return id, nil
	}
	if p, err := ParsePlace(name); err == nil {
		if s, err := n.Resolve(p); err == nil {
			return s.Net, nil
		} else if p.Pin == "" {
			return -1, err
		}
	}
	return -1, fmt.Errorf("the board has no net %s: %s", name, n.nearestNames(name))
}

// nearestNames names the nets whose names are most like a name.
func (n *Nets) nearestNames(name string) string {
	var names []string
	for i := range n.Nets {
		if n.Nets[i].Named() {
			names = append(names, n.Nets[i].Name)
		}
	}
	if len(names) == 0 {
		return "the files name no nets: name one by a place on it, as L1@x,y"
	}
	if i := slices.IndexFunc(names, func(s string) bool { return strings.EqualFold(s, name) }); i >= 0 {
		return "did you mean " + names[i]
	}
	var best []string
	for range 3 {
		near, ok := nearest.Name(name, names)
		if !ok {
			break
		}
		best = append(best, near)
		names = slices.DeleteFunc(names, func(s string) bool { return s == near })
	}
	if len(best) == 0 {
		return "its nets include " + listed(names, 8)
	}
	return "did you mean " + strings.Join(best, " or ")
}

// nearestCopper finds the piece of a layer nearest to a point, the nearest
// point on it, and the distance in nanometres (infinite without copper).
func (n *Nets) nearestCopper(layer int, p geom.Point) (Piece, geom.Point, float64) {
	best, at, least := Piece{Layer: layer}, geom.Point{}, math.Inf(1)
	for k, poly := range n.Layers[layer] {
		if boxDistance(poly.Bounds(), p) >= least {
			continue
		}
		poly.Rings(func(r geom.Ring) {
			r.Edges(func(e geom.Segment) {
				if d := geom.DistPointSegment(p, e.A, e.B); d < least {
					least, at, best.Polygon = d, geom.NearestOnSegment(p, e.A, e.B).Round(), k
				}
			})
		})
	}
	return best, at, least
}

func boxDistance(b geom.Box, p geom.Point) float64 {
	dx := max(b.Min.X-p.X, 0, p.X-b.Max.X)
	dy := max(b.Min.Y-p.Y, 0, p.Y-b.Max.Y)
	return math.Hypot(float64(dx), float64(dy))
}
