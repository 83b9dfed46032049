package boardread

import (
	"slices"

	"ohmward/format/gerber"
	"ohmward/geom"
	"ohmward/internal/board"
)

// contacts finds where copper of several nets is painted into one piece on a
// layer: one contact for each two nets that meet, at most mostContacts.
func (a *assembly) contacts(layer int, labels []board.Label) (out []board.Contact) {
	s := a.layers[layer]
	if s.negative {
		return nil // what is drawn is where there is no copper
	}
	names := map[int][]string{} // by piece
	var order []int
	for _, l := range labels {
		k := a.located[layer].Locate(l.At)
		if k < 0 || slices.Contains(names[k], l.Net) {
			continue
		}
		if names[k] = append(names[k], l.Net); len(names[k]) == 2 {
			order = append(order, k)
		}
	}
	if len(order) == 0 {
		return nil
	}
	f := newMeetings(s.img)
	for _, k := range order {
		for _, name := range names[k][1:] {
			if len(out) == mostContacts {
				return out
			}
			c, ok := f.from(name, names[k], a.b.Layers[layer].Copper[k].Bounds())
			if ok {
				c.Layer, c.File = layer, s.path
				out = append(out, c)
			}
		}
	}
	return out
}

const (
	mostContacts = 50
	touchGrow    = 2           // nanometres: what shares an edge touches
	mostEffort   = 200_000_000 // pairs of boxes that are looked at on a layer
	cornerEffort = 40          // how many of them intersecting one corner takes
)

// meetings looks for places where objects of an image touch.
type meetings struct {
	objects []gerber.Object
	boxes   []geom.Box
	fills   map[int]geom.Region
	effort  int
}

func newMeetings(img *gerber.Image) *meetings {
	f := &meetings{objects: img.Objects, fills: map[int]geom.Region{}}
	for i := range img.Objects {
		f.boxes = append(f.boxes, geom.Bounds(img.Objects[i].Rings))
	}
	return f
}

// reached is an object that hangs together with a net's own through objects
// without a name.
type reached struct {
	object int
	first  geom.Point // where the net's own copper is left
	named  bool       // it is the net's own
}

// from finds where a net meets another of some, directly or through copper
// that names no net: the fewest objects between them.
func (f *meetings) from(name string, names []string, where geom.Box) (board.Contact, bool) {
	for _, grow := range []int64{0, touchGrow} {
		var queue []reached
		var others []int // of the other nets, and without a name
		for i := range f.objects {
			o := &f.objects[i]
			if !o.Dark || len(o.Rings) == 0 || !f.boxes[i].Touches(where) {
				continue
			}
			switch own := netName(o); {
			case own == name:
				queue = append(queue, reached{object: i, named: true})
			case own == "" || slices.Contains(names, own):
				others = append(others, i)
			}
		}
		for k := 0; k < len(queue) && f.effort < mostEffort; k++ {
			at := queue[k]
			var left []int
			for _, i := range others {
				p, ok := f.meet(at.object, i, grow)
				if !ok {
					left = append(left, i)
					continue
				}
				first := at.first
				if at.named {
					first = p
				}
				if other := netName(&f.objects[i]); other != "" {
					return board.Contact{Nets: [2]string{name, other}, At: [2]geom.Point{first, p},
						Line: f.objects[i].Line}, true
				}
				queue = append(queue, reached{object: i, first: first})
			}
			others = left
		}
	}
	return board.Contact{}, false
}

// meet gives a place where two objects are one copper, after what clears it.
func (f *meetings) meet(i, j int, grow int64) (geom.Point, bool) {
	if f.effort++; f.effort > mostEffort || !f.boxes[i].Grow(grow).Touches(f.boxes[j]) {
		return geom.Point{}, false
	}
	f.effort += cornerEffort * (f.corners(i) + f.corners(j))
	a := f.fill(i)
	if grow > 0 {
		a = geom.Offset(a, grow, 1)
	}
	both := geom.Intersection(a, f.fill(j))
	for k := min(i, j) + 1; k < len(f.objects) && len(both) > 0; k++ {
		if !f.objects[k].Dark && len(f.objects[k].Rings) > 0 && f.boxes[k].Touches(both.Bounds()) {
			both = geom.Difference(both, f.fill(k))
		}
	}
	if len(both) == 0 {
		return geom.Point{}, false
	}
	if in := both.InsidePoints(); len(in) > 0 {
		return in[0], true
	}
	if mid := both[0].Bounds().Mid(); both.Contains(mid) {
		return mid, true // of a sliver
	}
	return both[0].Outer[0], true
}

func (f *meetings) corners(i int) (n int) {
	for _, r := range f.objects[i].Rings {
		n += len(r)
	}
	return n
}

func (f *meetings) fill(i int) geom.Region {
	r, known := f.fills[i]
	if !known {
		r = geom.Fill(f.objects[i].Rings, geom.NonZero)
		f.fills[i] = r
	}
	return r
}
