package boardread

import (
	"math"
	"slices"

	"ohmward/format/placement"
	"ohmward/geom"
	"ohmward/internal/board"
)

// imageWithin is how far a land may lie from where a part's symmetry puts its
// twin, nanometres: twice a list's rounding and some.
const imageWithin = 160_000

// seat is a listed part that looks for its lands.
type seat struct {
	row     placement.Row
	pattern landPattern
	at      geom.Point // on the board
	angle   float64    // of its axes, radians, 0 to below a right angle
	turned  bool       // the list gives its rotation
	// mirrored: on the bottom, or drawn mirrored; rotations count the other way
	mirrored bool
	sides    []board.Side
	lands    []*freeLand
}

// local gives a place in the part's own axes, nanometres.
func (s *seat) local(p geom.Point) (u, v float64) {
	x, y := float64(p.X-s.at.X), float64(p.Y-s.at.Y)
	sin, cos := math.Sincos(s.angle)
	return x*cos + y*sin, y*cos - x*sin
}

// board is the place of own coordinates on the board.
func (s *seat) board(u, v float64) geom.Point {
	sin, cos := math.Sincos(s.angle)
	return geom.Point{X: s.at.X + int64(math.Round(u*cos-v*sin)), Y: s.at.Y + int64(math.Round(u*sin+v*cos))}
}

// pair is two lands that a two-terminal part may stand on.
type pair struct {
	seat *seat
	p, q *freeLand
	cost float64 // nanometres
	axis int     // 0: along the part's own x; 1: across
}

// turnedWithin is how far two lands may lie off a part's axes, as a slope.
const turnedWithin = 0.06

// pairsFor lists the pairs of free lands about a two-terminal part's place.
func (m *matcher) pairsFor(s *seat) (out []pair) {
	for _, side := range s.sides {
		for p := range m.mid[side].around(s.at) {
			if p.ref != "" {
				continue
			}
			u, v := s.local(p.at)
			q := m.at(side, s.board(-u, -v), p, false)
			if q == nil || !before(p.at, q.at) || between(m.mid[side], p, q) {
				continue
			}
			span := geom.Distance(p.at, q.at)
			if span < s.pattern.span[0]*1e6 || span > s.pattern.span[1]*1e6 {
				continue
			}
			x, y := s.local(q.at)
			du, dv := math.Abs(x-u), math.Abs(y-v)
			if s.turned && min(du, dv) > turnedWithin*max(du, dv) {
				continue
			}
			mid := geom.Box{Min: p.at, Max: p.at}.Extend(q.at).Mid()
			one := pair{seat: s, p: p, q: q, cost: geom.Distance(mid, s.at) + span/10}
			if dv > du {
				one.axis = 1
			}
			out = append(out, one)
		}
	}
	slices.SortStableFunc(out, func(a, b pair) int { return byCost(a.cost, b.cost) })
	return out
}

func byCost(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// at gives the free land like another at a place, or nil.
func (m *matcher) at(side board.Side, p geom.Point, like *freeLand, turned bool) *freeLand {
	var best *freeLand
	least := float64(imageWithin)
	for l := range m.fine[side].around(p) {
		if d := geom.Distance(l.at, p); l.ref == "" && d <= least && l.alike(like, turned) {
			best, least = l, d
		}
	}
	return best
}

const (
	// axisShare is the share of the two-terminal parts that must stand along
	// one of their axes for this to be the list's zero for all.
	axisShare = 0.9
)

// chips gives two-terminal parts their pairs of lands, the surest first.
func (m *matcher) chips() {
	m.seatPairs(slices.DeleteFunc(slices.Clone(m.seats), func(s *seat) bool { return !s.pattern.chip }))
}

// looseSpan bounds the distance of the lands of a part that is two-terminal by
// its reference only, millimetres.
var looseSpan = [2]float64{0.25, 12}

// looseChips does the same for parts that only their reference tells.
func (m *matcher) looseChips() {
	var loose []*seat
	for _, s := range m.open {
		if s.lands == nil && s.pattern.count == 0 && chipRef.MatchString(s.row.Ref) &&
			!severalParts.MatchString(s.row.Package) {
			s.pattern.span = looseSpan
			loose = append(loose, s)
		}
	}
	m.seatPairs(loose)
}

func (m *matcher) seatPairs(seats []*seat) {
	var all []pair
	along := [2]int{}
	for _, s := range seats {
		own := m.pairsFor(s)
		if len(own) > 0 && s.turned {
			along[own[0].axis]++
		}
		all = append(all, own...)
	}
	for axis := range along {
		if n := along[0] + along[1]; n >= 2*fewestChips && float64(along[axis]) >= axisShare*float64(n) {
			m.alongAxis, m.axisKnown = axis, true
		}
	}
	if m.axisKnown {
		all = slices.DeleteFunc(all, func(p pair) bool { return p.seat.turned && p.axis != m.alongAxis })
	}
	slices.SortStableFunc(all, func(a, b pair) int { return byCost(a.cost, b.cost) })
	for _, p := range all {
		if p.seat.lands == nil && p.p.ref == "" && p.q.ref == "" {
			m.give(p.seat, []*freeLand{p.p, p.q})
		}
	}
}

// singles gives test points, marks and holes the land at their place.
func (m *matcher) singles() {
	for _, s := range m.seats {
		if !s.pattern.single {
			continue
		}
		var best *freeLand
		least := float64(imageWithin)
		for _, side := range s.sides {
			for l := range m.fine[side].around(s.at) {
				if d := geom.Distance(l.at, s.at); l.ref == "" && d <= least {
					best, least = l, d
				}
			}
		}
		if best != nil {
			m.give(s, []*freeLand{best})
		}
	}
}

// give hands lands to a part.
func (m *matcher) give(s *seat, lands []*freeLand) {
	s.lands = lands
	for _, l := range lands {
		l.ref = s.row.Ref
		if o := m.otherEnd(l); l.drilled && o != nil {
			o.ref = s.row.Ref
		}
	}
}
