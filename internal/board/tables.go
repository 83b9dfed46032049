package board

import (
	"bytes"
	"fmt"
	"math"
	"slices"

	"ohmward/format/placement"
	"ohmward/internal/geom"
)

// readTable reads a parts table, if it is one.
func (s *source) readTable() {
	t, err := placement.Read(bytes.NewReader(s.data), s.path)
	switch {
	case err != nil:
		s.pass("cannot be read as a parts table: " + err.Error())
	case t.Kind == placement.None:
		s.pass("no fabrication file")
	default:
		s.table, s.use, s.role = t, useValues, "parts list"
		s.why = "its columns make a " + t.Kind.String()
	}
}

// knownParts gathers what component layers, a whole board and parts tables
// say of parts; what stands nearer to the copper wins, in this order.
func (a *assembly) knownParts() map[string]told {
	out := map[string]told{}
	for _, s := range a.of(useComponents) {
		for ref, t := range s.told {
			if t.value == "" {
				t.value = s.values[ref]
			}
			if was, twice := out[ref]; twice && t.value == "" {
				t.value = was.value
			}
			out[ref] = t
		}
		for ref, v := range s.values {
			if t := out[ref]; t.value == "" {
				t.value = v
				out[ref] = t
			}
		}
	}
	for _, s := range a.of(useValues) {
		for _, r := range s.table.Rows {
			t := out[r.Ref]
			if t.value == "" {
				t.value = r.Value
			}
			if !t.sided && r.Side != placement.SideUnsaid {
				t.sided = true
				if r.Side == placement.Bottom {
					t.side = Bottom
				}
			}
			t.absent = t.absent || r.NotFitted
			out[r.Ref] = t
		}
	}
	a.copyParts(out)
	return out
}

// copyParts gives the parts of the second copy and on what is said of their
// like in the first, except for places.
func (a *assembly) copyParts(known map[string]told) {
	if len(a.cells) == 0 {
		return
	}
	for _, p := range a.b.Pads {
		own := known[p.Ref]
		like, ok := known[a.unmarked(p.Ref)]
		if !ok || a.unmarked(p.Ref) == p.Ref {
			continue
		}
		if own.value == "" {
			own.value = like.value
		}
		if !own.sided {
			own.side, own.sided = like.side, like.sided
		}
		own.absent = own.absent || like.absent
		known[p.Ref] = own
	}
}

const (
	// placeReach is how far a table's place may lie from the middle of the
	// part's pads, nanometres: parts are listed by pin 1 or by their body.
	placeReach = 1_000_000
	// fewestPlaces is how many parts tell whether a table fits.
	fewestPlaces = 3
)

// placeParts takes the places of a pick-and-place list, moved so that its
// parts lie on their pads. A list that does not fit is a doubt.
func (a *assembly) placeParts(known map[string]told) {
	middle := padMiddles(a.b.Pads)
	for _, s := range a.of(useValues) {
		if s.table.Kind != placement.Positions {
			continue
		}
		move, share, n := fitPlaces(s.table.Rows, middle)
		if n >= fewestPlaces && share < surelyFits {
			a.doubt(Doubt{File: s.path, What: fmt.Sprintf(
				"only %.0f %% of its %d parts lie where their pads are, however it is moved: another board's or revision's list: its places are not used", 100*share, n)})
			continue
		}
		for _, r := range s.table.Rows {
			if t := known[r.Ref]; r.HasAt && !t.placed {
				t.at, t.placed = move(r.At), n >= fewestPlaces
				known[r.Ref] = t
			}
		}
	}
}

// padMiddles gives the middle of each part's pads.
func padMiddles(pads []Pad) map[string]geom.Point {
	box := map[string]geom.Box{}
	for _, p := range pads {
		b, ok := box[p.Ref]
		if !ok {
			b = geom.EmptyBox()
		}
		box[p.Ref] = b.Extend(p.At)
	}
	out := map[string]geom.Point{}
	for ref, b := range box {
		out[ref] = boxMid(b)
	}
	return out
}

// fitPlaces finds the offset, the quarter turn and whether X is mirrored, that
// lay a list's parts onto their pads: the median of the differences.
func fitPlaces(rows []placement.Row, middle map[string]geom.Point) (move func(geom.Point) geom.Point, share float64, n int) {
	best := -1
	move = func(p geom.Point) geom.Point { return p }
	for way := range 8 {
		turn := func(p geom.Point) geom.Point {
			if way%2 == 1 {
				p.X = -p.X
			}
			for range way / 2 {
				p = geom.Point{X: -p.Y, Y: p.X}
			}
			return p
		}
		var dx, dy []int64
		for _, r := range rows {
			if m, ok := middle[r.Ref]; ok && r.HasAt {
				at := turn(r.At)
				dx, dy = append(dx, m.X-at.X), append(dy, m.Y-at.Y)
			}
		}
		n = len(dx)
		if n == 0 {
			return move, 0, 0
		}
		by := geom.Point{X: medianOf(dx), Y: medianOf(dy)}
		fits := 0
		for i := range dx {
			if math.Hypot(float64(dx[i]-by.X), float64(dy[i]-by.Y)) <= placeReach {
				fits++
			}
		}
		if fits > best {
			best = fits
			move = func(p geom.Point) geom.Point { p = turn(p); return geom.Point{X: p.X + by.X, Y: p.Y + by.Y} }
		}
	}
	return move, float64(best) / float64(n), n
}

func medianOf(v []int64) int64 {
	s := slices.Clone(v)
	slices.Sort(s)
	return s[len(s)/2]
}
