package boardread

import (
	"math"
	"slices"

	"ohmward/format/placement"
	"ohmward/geom"
	"ohmward/internal/board"
)

const (
	// farthestTwin is how far the middles of a two-terminal part's lands may
	// be apart to lay a list by them, nanometres.
	farthestTwin = 6_000_000
	// laidWithin is how far a list's place may lie from the middle of two
	// lands to count as laid: roundings of list and lands.
	laidWithin = 80_000
	// fewestChips is how many two-terminal parts can lay a list on a board
	// without pins.
	fewestChips = 5
	// turnedGain is how many times the parts that a list moved only lays must
	// lie on lands before it counts as turned, mirrored or scaled.
	turnedGain = 1.25
	// mostVotes bounds the parts that vote for an offset.
	mostVotes = 80
	voteCell  = 200_000
	// fewestInGrid is how many like neighbours at one step make a land one of
	// an array, whose pairs tell nothing of two-terminal parts.
	fewestInGrid = 3
)

// twinFinder finds the middles of pairs of lands.
type twinFinder struct {
	side   [2]grid[geom.Point]
	points [2][]geom.Point
}

// newTwinFinder pairs alike lands with none between them.
func newTwinFinder(lands [2][]*freeLand) *twinFinder {
	f := &twinFinder{}
	for s := range lands {
		f.side[s] = newGrid[geom.Point](laidWithin)
		near := newGrid[*freeLand](farthestTwin)
		for _, l := range lands[s] {
			near.add(l.at, l)
		}
		crowd := crowds(lands[s], near)
		for _, p := range lands[s] {
			for q := range near.around(p.at) {
				d := geom.Distance(p.at, q.at)
				if !before(p.at, q.at) || d > farthestTwin || !p.alike(q, false) || !straight(p, q) ||
					min(crowd[p], crowd[q]) <= 1.05*d || between(near, p, q) {
					continue
				}
				m := geom.Box{Min: p.at, Max: p.at}.Extend(q.at).Mid()
				f.side[s].add(m, m)
				f.points[s] = append(f.points[s], m)
			}
		}
	}
	return f
}

func before(p, q geom.Point) bool { return p.X < q.X || p.X == q.X && p.Y < q.Y }

// straight tells whether two lands stand side by side along the axes, or are
// far enough apart for another angle to be meant.
func straight(p, q *freeLand) bool {
	dx, dy := abs(p.at.X-q.at.X), abs(p.at.Y-q.at.Y)
	return min(dx, dy) <= 20_000 || abs(dx-dy) <= 20_000
}

// between tells whether a third land lies across the line between two.
func between(near grid[*freeLand], p, q *freeLand) bool {
	mid := geom.Box{Min: p.at, Max: p.at}.Extend(q.at).Mid()
	for o := range near.around(mid) {
		if o != p && o != q && o.box.Holds(mid) {
			return true
		}
	}
	return false
}

// crowds gives each land the distance of its fewestInGrid-th neighbour of its
// size: in an array as far as its first.
func crowds(lands []*freeLand, near grid[*freeLand]) map[*freeLand]float64 {
	out := map[*freeLand]float64{}
	for _, p := range lands {
		var far []float64
		for o := range near.around(p.at) {
			if o != p && p.alike(o, false) {
				far = append(far, geom.Distance(o.at, p.at))
			}
		}
		out[p] = math.Inf(1)
		if len(far) >= fewestInGrid {
			slices.Sort(far)
			out[p] = far[fewestInGrid-1]
		}
	}
	return out
}

// lays counts the rows that a way of laying brings onto a pair of lands.
func (f *twinFinder) lays(rows []placement.Row, by placeFit) (n int) {
	for _, r := range rows {
		for _, s := range sidesOf(r) {
			if f.at(s, by.apply(r.At)) {
				n++
				break
			}
		}
	}
	return n
}

func (f *twinFinder) at(side board.Side, p geom.Point) bool {
	for m := range f.side[side].around(p) {
		if geom.Distance(m, p) <= laidWithin {
			return true
		}
	}
	return false
}

// sidesOf gives the sides that a row's part may be on.
func sidesOf(r placement.Row) []board.Side {
	switch r.Side {
	case placement.Top:
		return []board.Side{board.Top}
	case placement.Bottom:
		return []board.Side{board.Bottom}
	}
	return []board.Side{board.Top, board.Bottom}
}

// lay finds how rows lie on the lands: as they are if so they fit, else moved,
// else also turned, mirrored or in another unit.
func (f *twinFinder) lay(rows []placement.Row, first ...placeFit) placeFit {
	var best placeFit
	try := func(by placeFit, gain float64) {
		if !f.wide(rows, by) {
			return
		}
		if by.n = len(rows); by.n > 0 {
			by.fits = f.lays(rows, by)
		}
		if best.scale == 0 || float64(by.fits) > gain*float64(best.fits) {
			best = by
		}
	}
	for _, by := range append([]placeFit{{scale: 1}}, first...) {
		try(by, 1)
	}
	if best.share() >= wellFits {
		return best
	}
	try(f.moved(rows, placeFit{scale: 1}), 1)
	for way := 1; way < 8 && best.share() < wellFits; way++ {
		try(f.moved(rows, placeFit{way: way, scale: 1}), turnedGain)
	}
	for _, k := range tableScales {
		for way := 0; way < 2 && best.share() < wellFits; way++ {
			try(f.moved(rows, placeFit{way: way, scale: k}), turnedGain)
		}
	}
	return best
}

// wide tells whether the list is as large as the board's pairs of lands: any
// list fits when shrunk to a dot.
func (f *twinFinder) wide(rows []placement.Row, by placeFit) bool {
	list, pairs := geom.EmptyBox(), geom.EmptyBox()
	for _, r := range rows {
		list = list.Extend(by.turned(r.At))
	}
	for s := range f.points {
		for _, m := range f.points[s] {
			pairs = pairs.Extend(m)
		}
	}
	w, h := width(list)+height(list), width(pairs)+height(pairs)
	return by.scale == 1 || !list.Empty() && !pairs.Empty() && 3*w > h && w < 2*h
}

// moved lets every row vote for the offsets that bring it onto a pair of
// lands, in coarse cells and then in fine ones about the winner.
func (f *twinFinder) moved(rows []placement.Row, by placeFit) placeFit {
	if step := len(rows)/mostVotes + 1; step > 1 {
		var some []placement.Row
		for i := 0; i < len(rows); i += step {
			some = append(some, rows[i])
		}
		rows = some
	}
	by.by = f.vote(rows, by, voteCell, func(geom.Point) bool { return true })
	rough := by.by
	by.by = f.vote(rows, by, laidWithin, func(off geom.Point) bool {
		return max(abs(off.X-rough.X), abs(off.Y-rough.Y)) <= voteCell
	})
	return f.centred(rows, by)
}

// vote gives the middle of the block of two by two cells that brings most
// rows onto pairs of lands.
func (f *twinFinder) vote(rows []placement.Row, by placeFit, cell int64,
	among func(geom.Point) bool) geom.Point {
	votes := map[[2]int64]int{}
	for _, r := range rows {
		p, seen := by.turned(r.At), map[[2]int64]bool{}
		for _, s := range sidesOf(r) {
			for _, m := range f.points[s] {
				off := geom.Point{X: m.X - p.X, Y: m.Y - p.Y}
				k := [2]int64{geom.FloorDiv(off.X, cell), geom.FloorDiv(off.Y, cell)}
				if among(off) && !seen[k] {
					seen[k] = true
					votes[k]++
				}
			}
		}
	}
	top, most := [2]int64{}, 0
	for k, n := range votes {
		for _, d := range [][2]int64{{1, 0}, {0, 1}, {1, 1}} {
			n += votes[[2]int64{k[0] + d[0], k[1] + d[1]}]
		}
		if n > most || n == most && (k[0] < top[0] || k[0] == top[0] && k[1] < top[1]) {
			top, most = k, n
		}
	}
	return geom.Point{X: (top[0] + 1) * cell, Y: (top[1] + 1) * cell}
}

// centred moves a way of laying by the median of what is left.
func (f *twinFinder) centred(rows []placement.Row, by placeFit) placeFit {
	for range 2 {
		var dx, dy []int64
		for _, r := range rows {
			p := by.apply(r.At)
			best, off := math.Inf(1), geom.Point{}
			for _, s := range sidesOf(r) {
				for m := range f.side[s].around(p) {
					if d := geom.Distance(m, p); d < best {
						best, off = d, geom.Point{X: m.X - p.X, Y: m.Y - p.Y}
					}
				}
			}
			if best <= 2*laidWithin {
				dx, dy = append(dx, off.X), append(dy, off.Y)
			}
		}
		if len(dx) == 0 {
			return by
		}
		by.by = plus(by.by, geom.Point{X: medianOf(dx), Y: medianOf(dy)})
	}
	return by
}

// chipsOf are the rows of parts whose place is the middle of two lands.
func chipsOf(rows []placement.Row) []placement.Row {
	return slices.DeleteFunc(slices.Clone(rows), func(r placement.Row) bool {
		return !r.HasAt || !patternOf(r.Ref, r.Package).chip && !chipRef.MatchString(r.Ref)
	})
}
