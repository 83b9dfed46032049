package board

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"ohmward/format/gerber"
	"ohmward/internal/geom"
)

// Copy is one of several copies of a board in the data, a panel's.
type Copy struct {
	Box    geom.Box // of its outline
	Turned bool     // width and height are the first copy's height and width
}

// maxCopies bounds how many copies a panel may have.
const maxCopies = 500

// cell is the part of the plane that belongs to one copy.
type cell struct {
	outline geom.Region // as the profile draws it, or the box of its lands
	ground  geom.Region // outline and what overhangs it
	box     geom.Box    // of the ground
	square  bool        // the ground is its box
	locator *geom.Locator
}

func newCell(outline, ground geom.Region) *cell {
	c := &cell{outline: outline, ground: ground, box: ground.Bounds(), locator: geom.NewLocator(ground)}
	c.square = ground.Area() >= boxArea(c.box)*(1-1e-6)
	return c
}

func (c *cell) holds(p geom.Point) bool {
	return c.box.Holds(p) && (c.square || c.locator.Locate(p) >= 0)
}

const (
	// sameSize is how much the sizes of copies of a board may differ,
	// nanometres.
	sameSize = 50_000
	// facePen is the width of the lines that part the faces of a profile,
	// nanometres; it bridges gaps between strokes that do not quite meet.
	facePen = 20_000
	// overhang is how far lands and tracks may reach over a copy's outline,
	// nanometres, where nothing lies beside it.
	overhang = 500_000
	// fewestLands is how many lands one copy has at least, mostLands how far
	// their numbers may differ among copies, as a share.
	fewestLands = 4
	mostLands   = 0.3
	// copiesHold is the share of all lands that lie on the copies.
	copiesHold = 0.6
)

// findCopies finds the copies of one board in the data: faces of the profile
// of one size, any way round, with like numbers of lands; else lands that
// repeat in rows and columns with nothing between. Nil where there is one
// board.
func (a *assembly) findCopies(profiles []*source) []*cell {
	if len(a.lands) < 2*fewestLands {
		return nil
	}
	for i, s := range profiles {
		with := []*source{s}
		if i > 0 {
			with = profiles[:i+1]
		}
		if cells := a.copiesByProfile(with); len(cells) > 1 {
			return cells
		}
	}
	return a.copiesByLands()
}

// copiesByProfile takes the faces into which the profile's lines part the
// plane.
func (a *assembly) copiesByProfile(profiles []*source) []*cell {
	faces, others := profileFaces(profiles)
	if len(faces) < 2 || len(faces) > 50*maxCopies {
		return nil
	}
	located := geom.NewLocator(faces)
	lands := make([]int, len(faces))
	for _, p := range a.lands {
		if i := located.Locate(p); i >= 0 {
			lands[i]++
		}
	}
	same := likeFaces(faces, lands)
	if len(same) < 2 || len(same) > maxCopies {
		return nil
	}
	total := 0
	for _, i := range same {
		total += lands[i]
	}
	if float64(total) < copiesHold*float64(len(a.lands)) {
		return nil
	}
	boxes := make([]geom.Box, len(same))
	for k, i := range same {
		boxes[k] = faces[i].Bounds()
	}
	over := int64(0)
	if len(same) == len(faces) && !others {
		over = min(overhang, leastGap(boxes)/2)
	}
	var out []*cell
	for _, i := range same {
		outline := geom.Offset(geom.Region{faces[i]}, facePen/2, 100)
		ground := geom.Offset(geom.Region{{Outer: faces[i].Outer}}, facePen/2+over, 1000)
		if isBox(faces[i].Outer) {
			outline = squared(outline)
			ground = squared(ground)
		}
		out = append(out, newCell(outline, ground))
	}
	return out
}

// isBox tells whether a ring is its bounding box.
func isBox(r geom.Ring) bool { return math.Abs(r.Area()) >= boxArea(r.Bounds())*(1-1e-5) }

// squared gives the outer rings that offsetting has rounded their corners
// back.
func squared(r geom.Region) geom.Region {
	out := make(geom.Region, len(r))
	for i, p := range r {
		out[i] = geom.Polygon{Outer: geom.Rectangle(p.Bounds()), Holes: p.Holes}
	}
	return out
}

// profileFaces gives the bounded faces between the profile's lines; others
// tells that some are too small to matter.
func profileFaces(profiles []*source) (faces geom.Region, others bool) {
	var pens []geom.Ring
	box := geom.EmptyBox()
	stroke := func(p, q geom.Point) {
		pens = append(pens, geom.Stroke(p, q, facePen, 1000))
		box = box.Extend(p).Extend(q)
	}
	for _, s := range profiles {
		ways, loops := profileWays(s.img)
		for _, w := range ways {
			for i := range w[1:] {
				stroke(w[i], w[i+1])
			}
		}
		for _, l := range loops {
			for i, p := range l {
				stroke(p, l[(i+1)%len(l)])
			}
		}
	}
	if box.Empty() {
		return nil, false
	}
	sheet := box.Grow(1_000_000)
	all, err := geom.PaintBounded([]geom.Coat{{Dark: true, Rings: []geom.Ring{geom.Rectangle(sheet)}}, {Rings: pens}})
	if err != nil {
		return nil, false // the copper's own painting tells of such lines
	}
	for _, f := range all {
		switch b := f.Bounds(); {
		case b.Min == sheet.Min:
		case boxArea(b) < 1e12: // a square millimetre
			others = true
		default:
			faces = append(faces, f)
		}
	}
	return faces, others
}

// likeFaces picks the faces of one size that hold most lands together, in
// rows from the lower left.
func likeFaces(faces geom.Region, lands []int) []int {
	type size struct{ long, short int64 }
	var sizes []size
	var groups [][]int
	for i, f := range faces {
		if lands[i] < fewestLands {
			continue
		}
		b := f.Bounds()
		w, h := b.Max.X-b.Min.X, b.Max.Y-b.Min.Y
		s := size{max(w, h), min(w, h)}
		k := slices.IndexFunc(sizes, func(o size) bool { return abs(o.long-s.long) <= sameSize && abs(o.short-s.short) <= sameSize })
		if k < 0 {
			k = len(sizes)
			sizes, groups = append(sizes, s), append(groups, nil)
		}
		groups[k] = append(groups[k], i)
	}
	var best []int
	most := 0
	for _, g := range groups {
		total, low, high := 0, math.MaxInt, 0
		for _, i := range g {
			total, low, high = total+lands[i], min(low, lands[i]), max(high, lands[i])
		}
		if len(g) > 1 && float64(high-low) <= mostLands*float64(high) && total > most {
			best, most = g, total
		}
	}
	sortInRows(best, func(i int) geom.Box { return faces[i].Bounds() })
	return best
}

// sortInRows orders things row by row from below, each from the left.
func sortInRows(of []int, box func(int) geom.Box) {
	if len(of) == 0 {
		return
	}
	least := int64(math.MaxInt64)
	for _, i := range of {
		b := box(i)
		least = min(least, b.Max.X-b.Min.X, b.Max.Y-b.Min.Y)
	}
	slices.SortFunc(of, func(i, j int) int { return cmp.Compare(boxMid(box(i)).Y, boxMid(box(j)).Y) })
	for from := 0; from < len(of); {
		til := from + 1
		for til < len(of) && boxMid(box(of[til])).Y-boxMid(box(of[from])).Y < least/2 {
			til++
		}
		slices.SortFunc(of[from:til], func(i, j int) int { return cmp.Compare(boxMid(box(i)).X, boxMid(box(j)).X) })
		from = til
	}
}

// leastGap is the least distance between boxes, along an axis; 0 where two
// overlap.
func leastGap(boxes []geom.Box) int64 {
	least := int64(math.MaxInt64)
	for i, a := range boxes {
		for _, b := range boxes[:i] {
			dx := max(a.Min.X-b.Max.X, b.Min.X-a.Max.X)
			dy := max(a.Min.Y-b.Max.Y, b.Min.Y-a.Max.Y)
			least = min(least, max(dx, dy, 0))
		}
	}
	return least
}

// panel settles which of several copies is read: the one that the user
// chose, or all, whose parts and nets are then told apart by a number.
func (a *assembly) panel(profiles []*source) error {
	cells := a.findCopies(profiles)
	if len(cells) == 0 || a.joined(cells) {
		if a.user.copy > 1 {
			return fmt.Errorf("board: %s: copy %d is asked for, but the data holds one board: leave the copy out", a.b.Name, a.user.copy)
		}
		return nil
	}
	first := cells[0].outline.Bounds()
	for _, c := range cells {
		b := c.outline.Bounds()
		turned := abs((b.Max.X-b.Min.X)-(first.Max.X-first.Min.X)) > sameSize
		a.b.Copies = append(a.b.Copies, Copy{b, turned})
	}
	if a.user.copy > len(cells) {
		return fmt.Errorf("board: %s: copy %d is asked for, but the panel holds %d: %s", a.b.Name, a.user.copy, len(cells), a.whereCopies())
	}
	if a.user.copy > 0 {
		a.takeCopy(cells[a.user.copy-1])
		a.b.Copy = a.user.copy
		return nil
	}
	a.markCopies(cells)
	if a.user.copy != AllCopies {
		b := first
		a.doubt(Doubt{What: fmt.Sprintf("a panel of %d copies of a board of %.1f x %.1f mm (%s): all are read, parts and nets of copy 2 as C1#2 and GND#2 and so on: --copy 1 takes one alone, --copy all settles it",
			len(cells), float64(b.Max.X-b.Min.X)*1e-6, float64(b.Max.Y-b.Min.Y)*1e-6, a.whereCopies())})
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
		lands[k] = sample(lands[k], landsTried)
	}
	small := cells[0].box
	least := min(small.Max.X-small.Min.X, small.Max.Y-small.Min.Y)
	crossing := 0
	for _, s := range a.layers {
		if s.negative {
			continue
		}
		for i := range s.img.Objects {
			o := &s.img.Objects[i]
			if !o.Dark || o.Kind == gerber.Flash {
				continue
			}
			if o.Kind == gerber.Draw && o.At != o.To {
				if f, t := copyAt(cells, o.At), copyAt(cells, o.To); f >= 0 && t >= 0 && f != t {
					crossing++
				}
				continue
			}
			box := ringsBox(o.Rings)
			if max(box.Max.X-box.Min.X, box.Max.Y-box.Min.Y) > least && coversTwo(o.Rings, box, lands) {
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
		if slices.ContainsFunc(l, func(p geom.Point) bool { return box.Holds(p) && winding(rings, p) != 0 }) {
			covered++
		}
		if covered > 1 {
			return true
		}
	}
	return false
}

// whereCopies lists where the copies lie.
func (a *assembly) whereCopies() string {
	const most = 8
	var out []string
	for i, c := range a.b.Copies {
		if i == most {
			out = append(out, "…")
			break
		}
		x, y := c.Box.Min.MM()
		text := fmt.Sprintf("%d from %.1f,%.1f", i+1, x, y)
		if c.Turned {
			text += " turned"
		}
		out = append(out, text)
	}
	return strings.Join(out, "; ")
}

// takeCopy leaves nothing in the set but what lies on one copy.
func (a *assembly) takeCopy(c *cell) {
	a.only = c
	a.b.Outline = c.outline
	outside := geom.Rectangle(c.box.Grow(1_000_000))
	for _, s := range a.set {
		if s.img == nil || s.use == useProfile || s.use == useDrill || s.use == useNone || s.use == useOther {
			continue
		}
		img := *s.img
		img.Objects, img.Bounds = nil, geom.EmptyBox()
		for i := range s.img.Objects {
			if o, ok := c.part(&s.img.Objects[i], outside); ok {
				img.Objects = append(img.Objects, o)
				if o.Dark {
					img.Bounds = img.Bounds.Join(ringsBox(o.Rings))
				}
			}
		}
		s.img, s.clipped = &img, true
		if s.use == useComponents {
			s.told = components(s.img, s.side)
		}
	}
}

// part gives what of an object lies on the copy.
func (c *cell) part(o *gerber.Object, outside geom.Ring) (gerber.Object, bool) {
	box := ringsBox(o.Rings)
	if len(o.Rings) == 0 { // a stroke of no width: its way counts
		box = geom.EmptyBox().Extend(o.At).Extend(o.To)
	}
	if !box.Touches(c.box) {
		return gerber.Object{}, false
	}
	inside := true
	for _, p := range [4]geom.Point{box.Min, box.Max, {X: box.Min.X, Y: box.Max.Y}, {X: box.Max.X, Y: box.Min.Y}} {
		inside = inside && c.holds(p)
	}
	if inside {
		return *o, true
	}
	if len(o.Rings) == 0 {
		return *o, c.holds(o.At) || c.holds(o.To)
	}
	clip := []geom.Coat{{Dark: true, Rings: o.Rings}, {Rings: []geom.Ring{outside, c.ground[0].Outer.Reverse()}}}
	if box.Min.X <= c.box.Min.X-900_000 || box.Min.Y <= c.box.Min.Y-900_000 || box.Max.X >= c.box.Max.X+900_000 || box.Max.Y >= c.box.Max.Y+900_000 {
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
				if len(o.Nets) > 0 {
					nets := make([]string, len(o.Nets))
					for n, name := range o.Nets {
						nets[n] = name
						if isName(name) {
							nets[n] = marked(name, k)
						}
					}
					o.Nets = nets
				}
			}
		}
		s.img = &img
		if s.use == useComponents {
			s.told = components(s.img, s.side)
		}
	}
	a.cells = cells
}

// objectMiddle is a place that tells on which copy an object lies.
func objectMiddle(o *gerber.Object) geom.Point {
	if o.Kind == gerber.Flash || len(o.Rings) == 0 {
		return o.At
	}
	return boxMid(ringsBox(o.Rings))
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
	if len(a.cells) == 0 {
		return name
	}
	if i := strings.LastIndexByte(name, '#'); i > 0 {
		return name[:i]
	}
	return name
}
