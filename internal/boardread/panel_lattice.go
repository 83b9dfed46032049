package boardread

import (
	"cmp"
	"maps"
	"math"
	"slices"

	"ohmward/format/gerber"
	"ohmward/geom"
)

// A panel whose profile does not draw its boards one by one (boards held by
// tabs, step and repeat) shows in its lands: they repeat in rows and columns,
// and between the columns a line can be drawn that no copper crosses.

const (
	leastPitch  = 3_000_000 // between copies, nanometres
	repeatShare = 0.9       // of the lands that have a like one a pitch away
	landGrid    = 2_000     // within which places are the same, nanometres
	mostVoters  = 64        // lands of one kind, up to which each pair votes
	mostLattice = 60_000    // lands; more are not searched
	mostPitches = 8         // tried along each axis
	leastTracks = 4         // objects that are no lands, in a copy of a real board
)

// landKind tells lands apart that cannot be each other's copies.
type landKind struct {
	layer int
	w, h  int64
}

// kindAt is one land.
type kindAt struct {
	kind landKind
	at   geom.Point
}

func onGrid(p geom.Point) geom.Point {
	return geom.Point{X: geom.FloorDiv(p.X+landGrid/2, landGrid), Y: geom.FloorDiv(p.Y+landGrid/2, landGrid)}
}

// landSet is all lands of the outer layers, for looking one up.
type landSet struct {
	all  []kindAt
	here map[kindAt]bool // on the grid, and the cells about it

	copper []placed // all that is dark on any layer
}

// placed is where a dark object of a copper layer lies.
type placed struct {
	box  geom.Box
	land bool // a flash
}

func (a *assembly) landSet() *landSet {
	s := &landSet{here: map[kindAt]bool{}}
	for l, src := range a.layers {
		for o := range dark(src.img) {
			b := geom.Bounds(o.Rings)
			if b.Empty() {
				continue
			}
			s.copper = append(s.copper, placed{b, o.Kind == gerber.Flash})
			if o.Kind != gerber.Flash || l > 0 && l < len(a.layers)-1 {
				continue
			}
			k := kindAt{landKind{l, width(b), height(b)}, o.At}
			s.all = append(s.all, k)
			s.here[kindAt{k.kind, onGrid(k.at)}] = true
		}
	}
	return s
}

// has tells whether a like land is at a place.
func (s *landSet) has(k landKind, p geom.Point) bool {
	g := onGrid(p)
	for i := range int64(9) {
		if s.here[kindAt{k, geom.Point{X: g.X + i/3 - 1, Y: g.Y + i%3 - 1}}] {
			return true
		}
	}
	return false
}

// repeat tells whether nearly all of some lands have a like one a step further
// or a step back. It asks no longer than that can still be so.
func (s *landSet) repeat(some []kindAt, step geom.Point) bool {
	alone := 0
	for _, k := range some {
		if s.has(k.kind, plus(k.at, step)) || s.has(k.kind, plus(k.at, geom.Point{X: -step.X, Y: -step.Y})) {
			continue
		}
		if alone++; float64(len(some)-alone) < repeatShare*float64(len(some)) {
			return false
		}
	}
	return true
}

// steps lists the distances along one axis at which lands of the rarest kinds
// repeat, the commonest first.
func (s *landSet) steps(alongX bool) []int64 {
	byKind := map[landKind][]geom.Point{}
	for _, k := range s.all {
		byKind[k.kind] = append(byKind[k.kind], k.at)
	}
	votes := map[int64]int{}
	for _, at := range byKind {
		at = geom.Sample(at, mostVoters)
		for i, p := range at {
			for _, q := range at[:i] {
				dx, dy := q.X-p.X, q.Y-p.Y
				if !alongX {
					dx, dy = dy, dx
				}
				if abs(dy) <= landGrid && abs(dx) >= leastPitch {
					votes[geom.FloorDiv(abs(dx)+landGrid/2, landGrid)]++
				}
			}
		}
	}
	steps := slices.SortedFunc(maps.Keys(votes), func(x, y int64) int {
		return cmp.Or(cmp.Compare(votes[y], votes[x]), cmp.Compare(x, y))
	})
	return steps[:min(len(steps), 40)]
}

// pitches lists the steps along an axis at which nearly all lands repeat, the
// least first, and 0 for none at last.
func (s *landSet) pitches(alongX bool) []int64 {
	var some []kindAt
	for i := range min(2000, len(s.all)) {
		some = append(some, s.all[i*len(s.all)/min(2000, len(s.all))])
	}
	var out []int64
	for _, v := range s.steps(alongX) {
		step := geom.Point{X: v * landGrid}
		if !alongX {
			step = geom.Point{Y: v * landGrid}
		}
		if s.repeat(some, step) {
			out = append(out, v*landGrid)
		}
	}
	slices.Sort(out)
	return append(out[:min(len(out), mostPitches)], 0)
}

// copiesByLands finds copies in rows and columns by their lands: the smallest
// that have tracks of their own.
func (a *assembly) copiesByLands() []*cell {
	s := a.landSet()
	if len(s.all) < 2*fewestLands || len(s.all) > mostLattice {
		return nil
	}
	type cut struct {
		at []int64
		ok bool
	}
	along := func(pitches []int64, span func(geom.Box) (int64, int64)) []cut {
		out := make([]cut, len(pitches))
		for i, p := range pitches {
			out[i].at, out[i].ok = s.cuts(p, span)
		}
		return out
	}
	px, py := s.pitches(true), s.pitches(false)
	if len(px)+len(py) == 2 {
		return nil
	}
	xs := along(px, func(b geom.Box) (int64, int64) { return b.Min.X, b.Max.X })
	ys := along(py, func(b geom.Box) (int64, int64) { return b.Min.Y, b.Max.Y })
	for _, x := range xs {
		for _, y := range ys {
			if !x.ok || !y.ok || len(x.at)*len(y.at) > 4*maxCopies {
				continue
			}
			if cells := s.filled(x.at, y.at); len(cells) > 0 && !a.joined(cells) {
				return cells
			}
		}
	}
	return nil
}

// cuts gives the lines across one axis, a pitch apart, that no copper smaller
// than a pitch crosses; the first and last stand outside all copper. Without
// a pitch there are only these two.
func (s *landSet) cuts(pitch int64, span func(geom.Box) (int64, int64)) ([]int64, bool) {
	type reach struct{ from, to int64 }
	var all []reach
	low, high := int64(math.MaxInt64), int64(math.MinInt64)
	for _, c := range s.copper {
		from, to := span(c.box)
		if pitch > 0 && to-from >= pitch {
			continue // a rail's
		}
		low, high = min(low, from), max(high, to)
		all = append(all, reach{from, to})
	}
	if len(all) == 0 {
		return nil, false
	}
	if pitch == 0 {
		return []int64{low - 1, high + 1}, true
	}
	// The covered part of one pitch, as reaches within [0, 2·pitch).
	for i, r := range all {
		f := r.from - low
		m := f - geom.FloorDiv(f, pitch)*pitch
		all[i] = reach{m, m + r.to - r.from}
	}
	all = append(all, all...)
	for i := len(all) / 2; i < len(all); i++ {
		all[i].from, all[i].to = all[i].from+pitch, all[i].to+pitch
	}
	slices.SortFunc(all, func(x, y reach) int { return cmp.Compare(x.from, y.from) })
	end, gap, at := all[0].to, int64(0), int64(0)
	for _, r := range all[1:] {
		if r.from-end > gap && r.from <= 2*pitch {
			gap, at = r.from-end, end+(r.from-end)/2
		}
		end = max(end, r.to)
	}
	if gap < landGrid {
		return nil, false
	}
	var out []int64
	for c := low + at - 3*pitch; ; c += pitch {
		if c+pitch > low {
			out = append(out, c)
		}
		if c > high {
			return out, true
		}
		if len(out) > 4*maxCopies {
			return nil, false
		}
	}
}

// filled keeps those cells between the cuts that hold a like number of lands.
func (s *landSet) filled(xs, ys []int64) []*cell {
	type square struct{ x, y int }
	lands := map[square][]kindAt{}
	for _, k := range s.all {
		i, _ := slices.BinarySearch(xs, k.at.X)
		j, _ := slices.BinarySearch(ys, k.at.Y)
		q := square{i - 1, j - 1}
		lands[q] = append(lands[q], k)
	}
	most := 0
	for _, l := range lands {
		most = max(most, len(l))
	}
	var boxes []geom.Box
	var out []*cell
	held := 0
	for y := range ys {
		for x := range xs {
			l := lands[square{x, y}]
			if x+1 >= len(xs) || y+1 >= len(ys) || len(l) < 2*fewestLands ||
				float64(most-len(l)) > mostLands*float64(most) {
				continue
			}
			ground := geom.Box{Min: geom.Point{X: xs[x], Y: ys[y]}, Max: geom.Point{X: xs[x+1], Y: ys[y+1]}}
			box, tracks := s.copperIn(ground)
			if tracks < leastTracks {
				continue
			}
			boxes = append(boxes, box)
			out = append(out, newCell(geom.Region{{Outer: geom.Rectangle(box)}},
				geom.Region{{Outer: geom.Rectangle(ground)}}))
			held += len(l)
		}
	}
	if len(boxes) < 2 || len(boxes) > maxCopies || float64(held) < copiesHold*float64(len(s.all)) ||
		!alike(boxes) {
		return nil
	}
	sortInRows(out, func(c *cell) geom.Box { return c.outline.Bounds() })
	return out
}

func alike(boxes []geom.Box) bool {
	w, h := width(boxes[0]), height(boxes[0])
	return !slices.ContainsFunc(boxes, func(b geom.Box) bool {
		return abs(width(b)-w) > sameSize || abs(height(b)-h) > sameSize
	})
}

// copperIn is the box of the copper that lies within another, and how many
// of its objects are no lands.
func (s *landSet) copperIn(ground geom.Box) (box geom.Box, tracks int) {
	box = geom.EmptyBox()
	for i := range s.copper {
		if b := s.copper[i].box; ground.Holds(b.Min) && ground.Holds(b.Max) {
			box = box.Join(b)
			if !s.copper[i].land {
				tracks++
			}
		}
	}
	return box, tracks
}
