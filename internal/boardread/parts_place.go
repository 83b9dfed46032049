package boardread

import (
	"math"
	"slices"

	"ohmward/format/placement"
	"ohmward/geom"
	"ohmward/internal/board"
)

const (
	// placeReach is how far a table's place may lie from the middle of the
	// part's pads, nanometres: parts are listed by pin 1 or by their body.
	placeReach = 1_000_000
	// fewestPlaces is how many parts tell whether a table fits.
	fewestPlaces = 3
)

// tableScales are the ratios of units that are taken for each other: inches,
// mils, millimetres and micrometres.
var tableScales = []float64{25.4, 0.0254, 1 / 25.4, 1 / 0.0254, 1e-3, 1e3}

// placeParts takes the places of a pick-and-place list, moved so that its
// parts lie on their pads. A list that does not fit is a doubt.
func (a *assembly) placeParts(known map[string]partData) {
	middle := padMiddles(a.b.Pads)
	for _, s := range a.of(useValues) {
		if s.table.Kind == placement.Positions {
			a.placeTable(s, known, middle)
		}
	}
}

func (a *assembly) placeTable(s *source, known map[string]partData, middle map[string]geom.Point) {
	fit := fitPlaces(s.table.Rows, middle, 1)
	back := fit
	if fit.n >= fewestPlaces && fit.share() < wellFits {
		fit, back = a.oddFit(s, fit, middle)
	}
	if fit.n >= fewestPlaces && fit.share() < surelyFits {
		a.doubt(s.path, "only %.0f %% of its %d parts lie where their pads are, however it is moved: another "+
			"board's or revision's list: its places are not used", 100*fit.share(), fit.n)
		return
	}
	for _, r := range s.table.Rows {
		if t := known[r.Ref]; r.HasAt && !t.placed {
			by := fit
			if r.Side == placement.Bottom {
				by = back
			}
			t.at, t.placed = by.apply(r.At), fit.n >= fewestPlaces
			known[r.Ref] = t
		}
	}
}

// oddFit lays a list that does not fit as it is: in another unit, or with the
// bottom's parts drawn as seen from below, which is told.
func (a *assembly) oddFit(s *source, plain placeFit, middle map[string]geom.Point) (fit, back placeFit) {
	front, below := fitSides(s.table.Rows, middle, 1)
	scale := 1.0
	for _, k := range tableScales {
		f, b := fitSides(s.table.Rows, middle, k)
		if f.fits+b.fits > max(front.fits+below.fits, plain.fits) && f.wide(s.table.Rows, middle) {
			front, below, scale = f, b, k
		}
	}
	fits, n := front.fits+below.fits, front.n+below.n
	if float64(fits) < wellFits*float64(n) || fits <= plain.fits {
		return plain, plain
	}
	if scale != 1 {
		complaint := "does not say its unit, and its places fit the pads only"
		if s.table.UnitGiven {
			complaint = "says a unit in which its places do not fit the pads; they do"
		}
		a.doubt(s.path, "the list %s when taken %.5g times as large: read so", complaint, scale)
	}
	if front.way != below.way {
		a.doubt(s.path, "the bottom's places fit the pads only turned against the top's, as seen from below: read "+
			"so")
	}
	front.fits, front.n = fits, n
	return front, below
}

// fitSides fits the bottom's parts by themselves, where both sides have
// enough; else below is the fit of all, counting none.
func fitSides(rows []placement.Row, middle map[string]geom.Point, scale float64) (front, below placeFit) {
	isBottom := func(r placement.Row) bool { return r.Side == placement.Bottom }
	top := slices.DeleteFunc(slices.Clone(rows), isBottom)
	bottom := slices.DeleteFunc(slices.Clone(rows), func(r placement.Row) bool { return !isBottom(r) })
	front, below = fitPlaces(top, middle, scale), fitPlaces(bottom, middle, scale)
	if front.n < fewestPlaces || below.n < fewestPlaces {
		front = fitPlaces(rows, middle, scale)
		below = front
		below.fits, below.n = 0, 0
	}
	return front, below
}

// placeFit lays a list's places onto the board: scaled, turned by one of eight
// ways (odd ones mirror X, then quarter turns), then moved.
type placeFit struct {
	way     int
	scale   float64
	by      geom.Point
	fits, n int
}

func (f placeFit) share() float64 { return float64(f.fits) / float64(max(f.n, 1)) }

func (f placeFit) turned(p geom.Point) geom.Point {
	p = geom.Point{X: int64(math.Round(float64(p.X) * f.scale)), Y: int64(math.Round(float64(p.Y) * f.scale))}
	if f.way%2 == 1 {
		p.X = -p.X
	}
	for range f.way / 2 {
		p = geom.Point{X: -p.Y, Y: p.X}
	}
	return p
}

func (f placeFit) apply(p geom.Point) geom.Point {
	return plus(f.turned(p), f.by)
}

// wide tells whether the scaled places spread like the pads: any list fits
// when shrunk to a dot on a board that is small itself.
func (f placeFit) wide(rows []placement.Row, middle map[string]geom.Point) bool {
	list, pads := geom.EmptyBox(), geom.EmptyBox()
	for _, r := range rows {
		if m, ok := middle[r.Ref]; ok && r.HasAt {
			list, pads = list.Extend(f.turned(r.At)), pads.Extend(m)
		}
	}
	across := func(b geom.Box) int64 { return width(b) + height(b) }
	return !list.Empty() && 2*across(list) > across(pads)
}

// padMiddles gives the middle of each part's pads.
func padMiddles(pads []board.Pad) map[string]geom.Point {
	box, out := map[string]geom.Box{}, map[string]geom.Point{}
	for _, p := range pads {
		b, ok := box[p.Ref]
		if !ok {
			b = geom.EmptyBox()
		}
		box[p.Ref] = b.Extend(p.At)
		out[p.Ref] = box[p.Ref].Mid()
	}
	return out
}

// fitPlaces finds the offset, the quarter turn and whether X is mirrored, that
// lay a list's parts onto their pads: the median of the differences.
func fitPlaces(rows []placement.Row, middle map[string]geom.Point, scale float64) placeFit {
	best := placeFit{scale: scale}
	for way := range 8 {
		f := placeFit{way: way, scale: scale}
		var dx, dy []int64
		for _, r := range rows {
			if m, ok := middle[r.Ref]; ok && r.HasAt {
				p := f.turned(r.At)
				dx, dy = append(dx, m.X-p.X), append(dy, m.Y-p.Y)
			}
		}
		if f.n = len(dx); f.n == 0 {
			return best
		}
		f.by = geom.Point{X: medianOf(dx), Y: medianOf(dy)}
		for i := range dx {
			if math.Hypot(float64(dx[i]-f.by.X), float64(dy[i]-f.by.Y)) <= placeReach {
				f.fits++
			}
		}
		if f.fits > best.fits || best.n == 0 {
			best = f
		}
	}
	return best
}

func medianOf(v []int64) int64 {
	s := slices.Clone(v)
	slices.Sort(s)
	return s[len(s)/2]
}
