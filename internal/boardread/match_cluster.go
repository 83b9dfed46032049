package boardread

import (
	"slices"

	"ohmward/geom"
	"ohmward/internal/board"
)

const (
	// clusterLink is the widest gap between lands of one connector or odd
	// part, nanometres.
	clusterLink = 2_600_000
	// atPin is how far a listed place may lie from the pin that it means.
	atPin = 120_000
)

// clusters gathers the free lands of a side that stand close together:
// drilled ones of one size by themselves.
func (m *matcher) clusters(side board.Side, drilled bool) (out [][]*freeLand) {
	left := slices.DeleteFunc(slices.Clone(m.lands[side]), func(l *freeLand) bool {
		return l.ref != "" || drilled && !l.drilled
	})
	for len(left) > 0 {
		one := []*freeLand{left[0]}
		left = left[1:]
		for i := 0; i < len(one); i++ {
			left = slices.DeleteFunc(left, func(l *freeLand) bool {
				joined := gapOf(l.box, one[i].box) <= clusterLink
				if drilled {
					joined = sameDrill(one[i], l) && geom.Distance(l.at, one[i].at) <= 2_700_000
				}
				if joined {
					one = append(one, l)
				}
				return joined
			})
		}
		out = append(out, one)
	}
	return out
}

// sameDrill tells pins of one connector: pin 1 may be square.
func sameDrill(a, b *freeLand) bool { return a.alike(b, false) || a.alike(b, true) }

// seatClusters gives what is left to parts without symmetry, where just one
// part claims just one cluster.
func (m *matcher) seatClusters(drilled bool) {
	for _, side := range []board.Side{board.Top, board.Bottom} {
		claims := map[int][]*seat{}
		clusters := m.clusters(side, drilled)
		for _, s := range m.open {
			if s.lands != nil || !slices.Contains(s.sides, side) {
				continue
			}
			own := -1
			for i, c := range clusters {
				if !m.claims(s, c, drilled) {
					continue
				}
				if own >= 0 {
					own = -1
					break
				}
				own = i
			}
			if own >= 0 {
				claims[own] = append(claims[own], s)
			}
		}
		for i, by := range claims {
			if len(by) == 1 {
				m.give(by[0], clusters[i])
			}
		}
	}
}

// claims tells whether a cluster can be a part's: its place is a pin's or near
// the middle, and the count is the one that the package's name says.
func (m *matcher) claims(s *seat, c []*freeLand, drilled bool) bool {
	if len(c) < 2 {
		return false
	}
	b := geom.EmptyBox()
	pin := false
	for _, l := range c {
		b = b.Join(l.box)
		pin = pin || l.drilled && geom.Distance(l.at, s.at) <= atPin
	}
	mid := b.Mid()
	middle := b.Holds(s.at) && 4*abs(mid.X-s.at.X) <= width(b) && 4*abs(mid.Y-s.at.Y) <= height(b)
	if !pin && !middle {
		return false
	}
	switch n := s.pattern.count; {
	case drilled && n > 0:
		return len(c) == n && (pin || m.clean(s, c))
	case n > 0:
		return len(c) >= n && (joinRef.MatchString(s.row.Ref) || len(c) <= n+1)
	case drilled:
		return pin || m.clean(s, c)
	}
	return joinRef.MatchString(s.row.Ref) || centredBox(s.boxOf(c))
}
