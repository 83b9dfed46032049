package boardread

import (
	"cmp"
	"math"
	"slices"

	"ohmward/geom"
)

// maxCopies bounds how many copies a panel may have.
const maxCopies = 500

// cell is the part of the plane that belongs to one copy.
type cell struct {
	outline geom.Region // as the profile draws it, or the box of its lands
	area    geom.Region // outline and what overhangs it
	box     geom.Box    // of the ground
	square  bool        // the ground is its box
	locator *geom.Locator
}

func newCell(outline, ground geom.Region) *cell {
	c := &cell{outline: outline, area: ground, box: ground.Bounds(), locator: geom.NewLocator(ground)}
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
	for i := range profiles {
		if cells := a.copiesByProfile(profiles[:i+1]); len(cells) > 1 {
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
	var boxes []geom.Box
	for _, i := range same {
		total += lands[i]
		boxes = append(boxes, faces[i].Bounds())
	}
	if float64(total) < copiesHold*float64(len(a.lands)) {
		return nil
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
			l.Edges(func(e geom.Segment) { stroke(e.A, e.B) })
		}
	}
	if box.Empty() {
		return nil, false
	}
	sheet := box.Grow(1_000_000)
	all, err := geom.PaintBounded([]geom.Coat{{Dark: true, Rings: []geom.Ring{geom.Rectangle(sheet)}},
		{Rings: pens}})
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
		w, h := width(b), height(b)
		s := size{max(w, h), min(w, h)}
		k := slices.IndexFunc(sizes, func(o size) bool {
			return abs(o.long-s.long) <= sameSize && abs(o.short-s.short) <= sameSize
		})
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
func sortInRows[T any](of []T, box func(T) geom.Box) {
	least := int64(math.MaxInt64)
	for _, i := range of {
		b := box(i)
		least = min(least, width(b), height(b))
	}
	slices.SortFunc(of, func(i, j T) int { return cmp.Compare(box(i).Mid().Y, box(j).Mid().Y) })
	for from := 0; from < len(of); {
		last := from + 1
		for last < len(of) && box(of[last]).Mid().Y-box(of[from]).Mid().Y < least/2 {
			last++
		}
		slices.SortFunc(of[from:last], func(i, j T) int { return cmp.Compare(box(i).Mid().X, box(j).Mid().X) })
		from = last
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
