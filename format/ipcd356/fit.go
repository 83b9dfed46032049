package ipcd356

import (
	"cmp"
	"slices"

	"ohmward/geom"
)

// Move carries the netlist's frame into another: first the mirrors (X to -X,
// Y to -Y), then the scale, then the offset.
type Move struct {
	MirrorX, MirrorY bool       // the signs of X, of Y are changed
	Scale            Scale      // of lengths
	Offset           geom.Point // nanometres, in the other frame
	Places           int        // different places of the records
	Fitted           int        // of them, those that come to lie on a point
	Spread           int64      // median distance of those from their points, nm
}

// Apply gives a place of the netlist in the other frame.
func (m Move) Apply(p geom.Point) geom.Point {
	p = m.turned(p)
	return geom.Point{X: p.X + m.Offset.X, Y: p.Y + m.Offset.Y}
}

// turned mirrors and scales.
func (m Move) turned(p geom.Point) geom.Point {
	p = geom.Point{X: m.Scale.Length(p.X), Y: m.Scale.Length(p.Y)}
	if m.MirrorX {
		p.X = -p.X
	}
	if m.MirrorY {
		p.Y = -p.Y
	}
	return p
}

// Share is the part of the places that fit, 0 to 1.
func (m Move) Share() float64 { return float64(m.Fitted) / float64(max(m.Places, 1)) }

// Reaches in nanometres. A netlist rounds to 2.54 um at worst, some writers
// to a mil; pads stand further apart than fitReach.
const (
	fitReach  = 30_000
	voteReach = 50_000
)

// Numbers that bound the work of a fit.
const (
	mostVotes  = 1_000_000
	leastVoter = 24
	mostVoter  = 96
	candidates = 24   // offsets tried on a sample
	finalists  = 3    // of them, tried on all places
	trySample  = 400  // places of that sample
	enough     = 0.8  // share at which no mirror is tried
	better     = 1.25 // a mirror must fit so many times the places
	least      = 0.5  // share below which other units are tried
	twice      = 2.0  // another unit must fit so many times the places
)

// Fit finds the move that puts most of the records onto the given points
// (centres of pads and holes of the board). Every pair of a record, of a
// sample spread over the list, and a point votes for the offset between them;
// the best offsets are tried on all records and refined by the median. Where
// several fit as well (copies in a panel), the shortest offset wins; a mirror
// is tried only where less than four fifths fit without, and must fit a
// quarter more. A share below a half is no sure fit; then other units are
// tried, which must fit twice as many and half of all. It is false where there
// are no records or no points.
func Fit(records []Record, points []geom.Point) (Move, bool) {
	places := distinct(records)
	if len(places) == 0 || len(points) == 0 {
		return Move{}, false
	}
	grid := newNear(points)
	best := mirrorsToo(Move{Places: len(places)}, places, grid)
	if best.Share() >= least {
		return best, true
	}
	plain := best.Fitted
	for _, s := range wrongUnits {
		if !within(places, s) {
			continue
		}
		m := mirrorsToo(Move{Places: len(places), Scale: s}, places, grid)
		if float64(m.Fitted) >= twice*float64(plain) && m.Share() >= least && m.Fitted > best.Fitted {
			best = m
		}
	}
	return best, true
}

// within tells whether the places stay within the frame when scaled.
func within(places []geom.Point, s Scale) bool {
	return !slices.ContainsFunc(places, func(p geom.Point) bool {
		return max(s.Length(p.X), -s.Length(p.X), s.Length(p.Y), -s.Length(p.Y)) > geom.MaxCoord
	})
}

// mirrorsToo finds the best move, mirrored only where that fits much better.
func mirrorsToo(m Move, places []geom.Point, grid *near) Move {
	best := bestMove(m, places, grid)
	if best.Share() >= enough {
		return best
	}
	plain := best.Fitted
	for _, turn := range []Move{{MirrorX: true}, {MirrorY: true}, {MirrorX: true, MirrorY: true}} {
		turn.Places, turn.Scale = m.Places, m.Scale
		turn = bestMove(turn, places, grid)
		if float64(turn.Fitted) > better*float64(plain) && turn.Fitted > best.Fitted {
			best = turn
		}
	}
	return best
}

// distinct gives the places of the records, each once.
func distinct(records []Record) []geom.Point {
	out := make([]geom.Point, len(records))
	for i, r := range records {
		out[i] = r.At
	}
	return sorted(out)
}

// sorted sorts points in place and drops those that repeat others.
func sorted(points []geom.Point) []geom.Point {
	slices.SortFunc(points, comparePoints)
	return slices.Compact(points)
}

func comparePoints(a, b geom.Point) int {
	return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y))
}

// bestMove finds the best offset for one choice of mirrors.
func bestMove(m Move, places []geom.Point, grid *near) Move {
	mirrored := turnedAll(m, places)
	offsets := append(vote(mirrored, grid.points), geom.Point{})
	tried := make([]Move, len(offsets))
	few := geom.Sample(mirrored, trySample)
	for i, o := range offsets {
		tried[i] = refine(m, o, few, grid)
	}
	slices.SortFunc(tried, compareMoves)
	if len(few) == len(mirrored) {
		return tried[0]
	}
	tried = tried[:min(len(tried), finalists)]
	for i := range tried {
		tried[i] = refine(m, tried[i].Offset, mirrored, grid)
	}
	return slices.MinFunc(tried, compareMoves)
}

func turnedAll(m Move, places []geom.Point) []geom.Point {
	out := make([]geom.Point, len(places))
	for i, p := range places {
		out[i] = m.turned(p)
	}
	return out
}

// compareMoves puts what fits most first, then the shortest offset.
func compareMoves(a, b Move) int {
	return cmp.Or(cmp.Compare(b.Fitted, a.Fitted), cmp.Compare(length(a.Offset), length(b.Offset)),
		comparePoints(a.Offset, b.Offset))
}

func length(p geom.Point) int64 { return max(p.X, -p.X) + max(p.Y, -p.Y) }

// refine moves the offset by the median residual with a shrinking reach, and
// counts what fits.
func refine(m Move, offset geom.Point, places []geom.Point, grid *near) Move {
	m.Offset = offset
	for _, reach := range []int64{2 * voteReach, voteReach, fitReach} {
		dx, dy := grid.residuals(places, m.Offset, reach)
		if len(dx) == 0 {
			return m
		}
		m.Offset.X += median(dx)
		m.Offset.Y += median(dy)
	}
	dx, dy := grid.residuals(places, m.Offset, fitReach)
	m.Fitted = len(dx)
	if m.Fitted > 0 {
		for i := range dx {
			dx[i] = max(dx[i], -dx[i], dy[i], -dy[i])
		}
		m.Spread = median(dx)
	}
	return m
}

// median sorts its argument.
func median(v []int64) int64 {
	slices.Sort(v)
	return v[len(v)/2]
}
