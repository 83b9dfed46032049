package boardread

import (
	"math"
	"slices"

	"ohmward/geom"
	"ohmward/internal/board"
)

const (
	// partReach is how far a part's lands may lie from its place, nanometres.
	partReach = 22_000_000
	// leadLink is the widest gap between neighbouring lands of one part where
	// its pitch tells no more, nanometres; joinLink of a connector's tabs.
	leadLink = 2_000_000
	joinLink = 4_000_000
	// offCentre is how far a part's place may lie from the middle of its lands
	// as a share of their extent.
	offCentre = 0.12
)

// mirrors are the ways in which a part's lands repeat: half a turn about its
// place, or mirrored in one of its axes.
var mirrors = [][2]float64{{-1, -1}, {1, -1}, {-1, 1}}

// orbit is a land with its twin, or alone on the axis.
type orbit struct {
	lands []*freeLand
	far   float64 // of the farthest from the part's place, nanometres
}

// orbits lists the free lands about a part that repeat in a way, nearest
// first.
func (m *matcher) orbits(s *seat, side board.Side, way [2]float64) (out []orbit) {
	seen := map[*freeLand]bool{}
	reach := float64(partReach)
	if s.pattern.body > 0 {
		reach = min(reach, (0.75*s.pattern.body+2.5)*1e6)
	}
	for p := range m.near[side].around(s.at) {
		d := geom.Distance(p.at, s.at)
		if p.ref != "" || seen[p] || d > reach || m.nearerTo(s, p) {
			continue
		}
		u, v := s.local(p.at)
		q := m.at(side, s.board(way[0]*u, way[1]*v), p, false)
		if q == nil || seen[q] || m.nearerTo(s, q) {
			continue
		}
		o := orbit{lands: []*freeLand{p}, far: max(d, geom.Distance(q.at, s.at))}
		if seen[p], seen[q] = true, true; q != p {
			o.lands = append(o.lands, q)
		}
		out = append(out, o)
	}
	slices.SortStableFunc(out, func(a, b orbit) int {
		if c := byCost(a.far, b.far); c != 0 {
			return c
		}
		return byCost(float64(a.lands[0].at.X), float64(b.lands[0].at.X))
	})
	return out
}

// nearerTo tells whether another part that still has no lands lies nearer to
// one.
func (m *matcher) nearerTo(s *seat, l *freeLand) bool {
	if !m.strict {
		return false
	}
	if l.closest == nil || l.closest.lands != nil {
		least := math.Inf(1)
		l.closest = nil
		for _, o := range m.open {
			if d := geom.Distance(l.at, o.at); o.lands == nil && d < least && slices.Contains(o.sides, l.side) {
				l.closest, least = o, d
			}
		}
	}
	return l.closest != nil && geom.Distance(l.at, l.closest.at) < geom.Distance(l.at, s.at)
}

// boxOf bounds lands in the part's axes: least and greatest u, then v.
func (s *seat) boxOf(lands []*freeLand) [4]float64 {
	b := [4]float64{math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)}
	for _, l := range lands {
		u, v := s.local(l.at)
		hu, hv := float64(width(l.box))/2, float64(height(l.box))/2
		b[0], b[1] = min(b[0], u-hu), max(b[1], u+hu)
		b[2], b[3] = min(b[2], v-hv), max(b[3], v+hv)
	}
	return b
}

// centredBox tells whether the part's place is the middle of its lands.
func centredBox(b [4]float64) bool {
	w, h := b[1]-b[0], b[3]-b[2]
	return math.Abs(b[0]+b[1])/2 <= offCentre*w+50_000 && math.Abs(b[2]+b[3])/2 <= offCentre*h+50_000
}

// standsAmong tells whether a part's place is the middle of lands, or of a
// connector's just among them.
func (s *seat) standsAmong(lands []*freeLand, joins bool) bool {
	b := s.boxOf(lands)
	if joins {
		return b[0] <= 0 && b[1] >= 0 && b[2] <= 0 && b[3] >= 0
	}
	return centredBox(b)
}

// clean tells whether no free land but those proposed lies among them.
func (m *matcher) clean(s *seat, lands []*freeLand) bool {
	b := s.boxOf(lands)
	for l := range m.near[lands[0].side].around(s.at) {
		u, v := s.local(l.at)
		if u > b[0] && u < b[1] && v > b[2] && v < b[3] && l.ref == "" && !slices.Contains(lands, l) {
			return false
		}
	}
	return true
}

// counted proposes as many lands as the package's name says, the nearest
// first, with a land for heat in the middle where there is one.
func (m *matcher) counted(s *seat) []*freeLand {
	for _, way := range mirrors {
		for _, side := range s.sides {
			orbits := m.orbits(s, side, way)
			for _, metric := range []func(orbit) float64{
				func(o orbit) float64 { return o.far },
				func(o orbit) float64 { u, v := s.local(o.lands[0].at); return max(math.Abs(u), math.Abs(v)) },
			} {
				slices.SortStableFunc(orbits, func(a, b orbit) int { return byCost(metric(a), metric(b)) })
				if got := m.firstOf(s, orbits); got != nil {
					return got
				}
			}
		}
	}
	return nil
}

// firstOf takes the first orbits up to the count that the name says, or one
// more where a land for heat lies under the middle.
func (m *matcher) firstOf(s *seat, orbits []orbit) []*freeLand {
	var lands []*freeLand
	want, heat := s.pattern.count, false
	for _, o := range orbits {
		if len(lands) > 0 && o.lands[0].drilled != lands[0].drilled {
			continue
		}
		heat = heat || len(o.lands) == 1 && o.lands[0].box.Holds(s.at) && want >= 4
		lands = append(lands, o.lands...)
		if len(lands) > want+1 {
			return nil
		}
		if (len(lands) == want && !(heat && s.pattern.heat) || len(lands) == want+1 && heat) &&
			centredBox(s.boxOf(lands)) && m.clean(s, lands) && m.compact(lands) {
			return lands
		}
	}
	return nil
}

// compact tells whether each of a part's lands has another beside it.
func (m *matcher) compact(lands []*freeLand) bool {
	b := geom.EmptyBox()
	for _, l := range lands {
		b = b.Join(l.box)
	}
	most := max(leadLink, min(width(b), height(b)))
	for _, l := range lands {
		if !slices.ContainsFunc(lands, func(o *freeLand) bool { return o != l && gapOf(l.box, o.box) <= most }) {
			return false
		}
	}
	return true
}

// gapOf is the gap between two boxes, the larger of its two directions.
func gapOf(a, b geom.Box) int64 {
	return max(0, a.Min.X-b.Max.X, b.Min.X-a.Max.X, a.Min.Y-b.Max.Y, b.Min.Y-a.Max.Y)
}

// grown proposes lands where the name says no count: from the innermost
// outwards, as long as the next has a neighbour among them.
func (m *matcher) grown(s *seat) (best []*freeLand) {
	link := int64(leadLink)
	joins := joinRef.MatchString(s.row.Ref)
	if joins {
		link = joinLink
	}
	for _, way := range mirrors {
		for _, side := range s.sides {
			got := m.common(s, m.grow(s, m.orbits(s, side, way), link, joins))
			if len(got) > len(best)+len(best)/4 {
				best = got
			}
		}
	}
	return best
}

// common keeps of a proposal what all parts of the package have at the same
// place of theirs.
func (m *matcher) common(s *seat, lands []*freeLand) []*freeLand {
	if s.row.Package == "" || !s.turned || len(lands) == 0 {
		return lands
	}
	for _, o := range m.open {
		if o == s || o.row.Package != s.row.Package || !o.turned {
			continue
		}
		kept := slices.DeleteFunc(slices.Clone(lands), func(l *freeLand) bool { return !m.hasLike(o, s, l) })
		if len(kept) >= 3 {
			lands = kept
		}
	}
	if !m.clean(s, lands) {
		return nil
	}
	return lands
}

// hasLike tells whether another part of the package has a land like one of
// this part's, at the same place of its own.
func (m *matcher) hasLike(o, s *seat, l *freeLand) bool {
	if o.mirrored != s.mirrored {
		return true // cannot be told: lists differ in how they turn the bottom's parts
	}
	turn := (o.row.Rotation - s.row.Rotation) * math.Pi / 180
	return m.landAt(o, s, l, turn) || s.mirrored && m.landAt(o, s, l, -turn)
}

// landAt tells whether there is a land like l at its place, turned from one
// part to the other.
func (m *matcher) landAt(o, s *seat, l *freeLand, turn float64) bool {
	x, y := float64(l.at.X-s.at.X), float64(l.at.Y-s.at.Y)
	sin, cos := math.Sincos(turn)
	at := geom.Point{X: o.at.X + int64(math.Round(x*cos-y*sin)), Y: o.at.Y + int64(math.Round(x*sin+y*cos))}
	for q := range m.fine[o.sides[0]].around(at) {
		if geom.Distance(q.at, at) <= imageWithin && q.alike(l, math.Abs(sin) > 0.5) {
			return true
		}
	}
	return false
}

func (m *matcher) grow(s *seat, orbits []orbit, link int64, joins bool) (best []*freeLand) {
	var lands []*freeLand
	rest := slices.Clone(orbits)
	for len(rest) > 0 {
		k := slices.IndexFunc(rest, func(o orbit) bool {
			return len(lands) == 0 || central(s, lands) || slices.ContainsFunc(o.lands, func(l *freeLand) bool {
				return slices.ContainsFunc(lands, func(a *freeLand) bool { return gapOf(l.box, a.box) <= link })
			})
		})
		if k < 0 {
			break
		}
		lands = append(lands, rest[k].lands...)
		rest = slices.Delete(rest, k, k+1)
		if len(lands) >= max(3, s.pattern.count) && s.standsAmong(lands, joins) && m.clean(s, lands) {
			best = slices.Clone(lands)
		}
	}
	return best
}

// central tells whether all there is so far is a land under the middle.
func central(s *seat, lands []*freeLand) bool {
	return len(lands) == 1 && lands[0].box.Holds(s.at)
}
