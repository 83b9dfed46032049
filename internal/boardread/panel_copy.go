package boardread

import (
	"fmt"
	"slices"
	"strings"

	"ohmward/format/gerber"
	"ohmward/geom"
	"ohmward/internal/board"
)

// panel settles which of several copies is read: the one that the user
// chose, or all, whose parts and nets are then told apart by a number.
func (a *assembly) panel(profiles []*source) error {
	cells := a.findCopies(profiles)
	if len(cells) == 0 || a.joined(cells) {
		if a.overrides.copy > 1 {
			return problem(board.NoCopy, "", "board: %s: copy %d is asked for, but the data holds one board: leave "+
				"the copy out", a.b.Name, a.overrides.copy)
		}
		return nil
	}
	first := cells[0].outline.Bounds()
	for _, c := range cells {
		b := c.outline.Bounds()
		turned := abs((width(b))-(width(first))) > sameSize
		a.b.Copies = append(a.b.Copies, board.Copy{Box: b, Turned: turned})
	}
	if a.overrides.copy > len(cells) {
		return problem(board.NoCopy, "", "board: %s: copy %d is asked for, but the panel holds %d: %s", a.b.Name,
			a.overrides.copy, len(cells), a.whereCopies())
	}
	if a.overrides.copy > 0 {
		a.takeCopy(cells[a.overrides.copy-1])
		a.b.Copy = a.overrides.copy
		return nil
	}
	a.markCopies(cells)
	if a.overrides.copy != AllCopies {
		d := doubtOf("", 0, "a panel of %d copies of a board of %.1f x %.1f mm (%s): all are read, parts and nets "+
			"of copy 2 as C1#2 and GND#2 and so on, unless a copy is chosen", len(cells), float64(width(first))*1e-6,
			float64(height(first))*1e-6, a.whereCopies())
		d.Code = board.Panel
		a.doubts(d)
	}
	return nil
}

const (
	// mayCross is how many strokes may lead from one copy to another: a bus
	// for plating, or a coupon's tracks.
	mayCross = 4
	// landsTried is how many lands of each copy are looked for in the copper
	// of large objects.
	landsTried = 6
)

// joined tells whether the copper says that the copies are one board: a plane
// that is under lands of two, or tracks from one to another.
func (a *assembly) joined(cells []*cell) bool {
	lands := make([][]geom.Point, len(cells))
	for _, p := range a.lands {
		if k := copyAt(cells, p); k >= 0 {
			lands[k] = append(lands[k], p)
		}
	}
	for k := range lands {
		lands[k] = geom.Sample(lands[k], landsTried)
	}
	small := cells[0].box
	least := min(width(small), height(small))
	crossing := 0
	for _, s := range a.layers {
		if s.negative {
			continue
		}
		for o := range dark(s.img) {
			if o.Kind == gerber.Flash {
				continue
			}
			if o.Kind == gerber.Draw && o.At != o.To {
				if f, t := copyAt(cells, o.At), copyAt(cells, o.To); f >= 0 && t >= 0 && f != t {
					crossing++
				}
				continue
			}
			box := geom.Bounds(o.Rings)
			if max(width(box), height(box)) > least && coversTwo(o.Rings, box, lands) {
				return true
			}
		}
	}
	return crossing > mayCross
}

// coversTwo tells whether rings go round lands of two copies.
func coversTwo(rings []geom.Ring, box geom.Box, lands [][]geom.Point) bool {
	covered := 0
	for _, l := range lands {
		if slices.ContainsFunc(l, func(p geom.Point) bool { return box.Holds(p) && geom.Winding(rings, p) != 0 }) {
			covered++
		}
	}
	return covered > 1
}

// whereCopies lists where the copies lie.
func (a *assembly) whereCopies() string {
	const most = 8
	var out []string
	for i, c := range a.b.Copies[:min(len(a.b.Copies), most)] {
		x, y := c.Box.Min.MM()
		text := fmt.Sprintf("%d from %.1f,%.1f", i+1, x, y)
		if c.Turned {
			text += " turned"
		}
		out = append(out, text)
	}
	if len(a.b.Copies) > most {
		out = append(out, "…")
	}
	return strings.Join(out, "; ")
}

// takeCopy leaves nothing in the set but what lies on one copy.
func (a *assembly) takeCopy(c *cell) {
	a.only = c
	a.b.Outline = c.outline
	outside := geom.Rectangle(c.box.Grow(1_000_000))
	for _, s := range a.set {
		if s.img == nil || s.use == useProfile || s.use == useDrill || !s.used() {
			continue
		}
		img := *s.img
		img.Objects, img.Bounds = nil, geom.EmptyBox()
		for i := range s.img.Objects {
			if o, ok := c.part(&s.img.Objects[i], outside); ok {
				img.Objects = append(img.Objects, o)
				if o.Dark {
					img.Bounds = img.Bounds.Join(geom.Bounds(o.Rings))
				}
			}
		}
		s.img = &img
		if s.use == useComponents {
			s.parts = components(s.img, s.side)
		}
	}
}

// part gives what of an object lies on the copy.
func (c *cell) part(o *gerber.Object, outside geom.Ring) (gerber.Object, bool) {
	box := geom.Bounds(o.Rings)
	if len(o.Rings) == 0 { // a stroke of no width: its way counts
		box = geom.EmptyBox().Extend(o.At).Extend(o.To)
	}
	if !box.Touches(c.box) {
		return gerber.Object{}, false
	}
	switch {
	case heldBy(c.holds, geom.Rectangle(box)) == 4:
		return *o, true
	case len(o.Rings) == 0:
		return *o, c.holds(o.At) || c.holds(o.To)
	}
	clip := []geom.Coat{{Dark: true, Rings: o.Rings}, {Rings: []geom.Ring{outside, c.area[0].Outer.Reverse()}}}
	if box.Min.X <= c.box.Min.X-900_000 || box.Min.Y <= c.box.Min.Y-900_000 ||
		box.Max.X >= c.box.Max.X+900_000 || box.Max.Y >= c.box.Max.Y+900_000 {
		clip[1].Rings[0] = geom.Rectangle(box.Join(c.box).Grow(1))
	}
	rest, err := geom.PaintBounded(clip)
	if err != nil || len(rest) == 0 {
		return gerber.Object{}, false
	}
	out := *o
	out.Rings = nil
	rest.Rings(func(r geom.Ring) { out.Rings = append(out.Rings, r) })
	return out, true
}

// markCopies tells the parts and nets of the second copy and on apart: "#2"
// behind the name.
func (a *assembly) markCopies(cells []*cell) {
	a.b.Outline = nil
	for _, c := range cells {
		a.b.Outline = append(a.b.Outline, c.outline...)
	}
	for _, s := range a.set {
		if s.img == nil || s.use != useCopper && s.use != useComponents {
			continue
		}
		img := *s.img
		img.Objects = slices.Clone(s.img.Objects)
		for i := range img.Objects {
			o := &img.Objects[i]
			if k := copyAt(cells, objectMiddle(o)); k > 0 {
				o.Ref = marked(o.Ref, k)
				o.Nets = slices.Clone(o.Nets)
				for n, name := range o.Nets {
					if isName(name) {
						o.Nets[n] = marked(name, k)
					}
				}
			}
		}
		s.img = &img
		if s.use == useComponents {
			s.parts = components(s.img, s.side)
		}
	}
	a.cells = cells
}

// objectMiddle is a place that tells on which copy an object lies.
func objectMiddle(o *gerber.Object) geom.Point {
	if o.Kind == gerber.Flash || len(o.Rings) == 0 {
		return o.At
	}
	return geom.Bounds(o.Rings).Mid()
}

// copyAt gives the index of the copy that holds a place; -1 where none does.
func copyAt(cells []*cell, p geom.Point) int {
	return slices.IndexFunc(cells, func(c *cell) bool { return c.holds(p) })
}

// marked puts the copy's number behind a name; k is its index.
func marked(name string, k int) string {
	if name == "" || k <= 0 {
		return name
	}
	return fmt.Sprintf("%s#%d", name, k+1)
}

// unmarked is the name that a copy's name comes from.
func (a *assembly) unmarked(name string) string {
	if i := strings.LastIndexByte(name, '#'); i > 0 && len(a.cells) > 0 {
		return name[:i]
	}
	return name
}
