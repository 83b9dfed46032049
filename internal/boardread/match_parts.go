package boardread

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"ohmward/format/placement"
	"ohmward/geom"
	"ohmward/internal/board"
)

// matcher finds the lands of listed parts on a board whose copper files carry
// no pins.
type matcher struct {
	a     *assembly
	lands [2][]*freeLand     // by side
	near  [2]grid[*freeLand] // as far as a part reaches
	mid   [2]grid[*freeLand] // as far as a two-terminal one does
	fine  [2]grid[*freeLand] // at a place
	seats []*seat
	open  []*seat // of more than two terminals

	strict    bool // lands go to the nearest part only
	alongAxis int  // the axis of their own along which two-terminal parts stand
	axisKnown bool
}

// mostPinned is the share of a list's parts that may have pins already for
// the others to be looked for: beyond, the files carry pins, and what has
// none is no part with lands.
const mostPinned = 0.5

// matchParts gives lands that carry no pin to the parts of the lists of
// places. Pins stay without a name: no list tells which land is pin 1.
func (a *assembly) matchParts() {
	has := map[string]bool{}
	for _, p := range a.b.Pads {
		has[p.Ref] = true
	}
	rows, pinned := a.listedRows(has)
	if len(rows) == 0 || float64(pinned) > mostPinned*float64(pinned+len(rows)) {
		a.partsUnplaced(has)
		return
	}
	m := a.newMatcher()
	for _, s := range a.of(useValues) {
		if s.table.Kind == placement.Positions {
			m.seat(s, has)
		}
	}
	m.match()
	m.pads()
	m.tell()
}

// listedRows are the parts of all lists of places that have no pads, and how
// many have.
func (a *assembly) listedRows(has map[string]bool) (rows []placement.Row, pinned int) {
	for _, s := range a.of(useValues) {
		if s.table.Kind != placement.Positions {
			continue
		}
		for _, r := range s.table.Rows {
			switch {
			case has[r.Ref]:
				pinned++
			case r.HasAt:
				rows = append(rows, r)
			}
		}
	}
	return rows, pinned
}

func (a *assembly) newMatcher() *matcher {
	m := &matcher{a: a}
	for _, side := range []board.Side{board.Top, board.Bottom} {
		m.near[side], m.fine[side] = newGrid[*freeLand](partReach), newGrid[*freeLand](imageWithin)
		m.mid[side] = newGrid[*freeLand](largestLand / 2)
		if side == board.Bottom && len(a.layers) == 1 {
			continue
		}
		m.lands[side] = a.freeLands(side)
		for _, l := range m.lands[side] {
			m.near[side].add(l.at, l)
			m.mid[side].add(l.at, l)
			m.fine[side].add(l.at, l)
		}
	}
	return m
}

// seat lays a list on the board and makes seats of its parts.
func (m *matcher) seat(s *source, has map[string]bool) {
	rows := slices.DeleteFunc(slices.Clone(s.table.Rows), func(r placement.Row) bool {
		return has[r.Ref] || !r.HasAt
	})
	if len(rows) == 0 {
		return
	}
	front, back, ok := m.lay(s, rows)
	if !ok {
		return
	}
	for _, r := range rows {
		by := front
		if r.Side == placement.Bottom {
			by = back
		}
		p := &seat{row: r, pattern: patternOf(r.Ref, r.Package), at: by.apply(r.At), turned: r.HasRotation,
			sides: sidesOf(r)}
		p.mirrored = (by.way%2 == 1) != (r.Side == placement.Bottom)
		turn := math.Mod(r.Rotation+360, 90)
		if by.way%2 == 1 {
			turn = math.Mod(90-turn, 90)
		}
		p.angle = turn * math.Pi / 180
		m.seats = append(m.seats, p)
		if !p.pattern.chip && !p.pattern.single {
			m.open = append(m.open, p)
		}
	}
}

// lay finds how a list lies on the board; the bottom's parts may be drawn as
// seen from below. A list that cannot be laid is a doubt.
func (m *matcher) lay(s *source, rows []placement.Row) (front, back placeFit, ok bool) {
	twins := newTwinFinder(m.lands)
	chips := chipsOf(rows)
	if len(chips) < fewestChips {
		chips = rows
	}
	isBottom := func(r placement.Row) bool { return r.Side == placement.Bottom }
	top := slices.DeleteFunc(slices.Clone(chips), isBottom)
	below := slices.DeleteFunc(slices.Clone(chips), func(r placement.Row) bool { return !isBottom(r) })
	if len(top) >= fewestChips && len(below) >= fewestChips {
		front = twins.lay(top)
		back = twins.lay(below, front)
		front.fits, front.n = front.fits+back.fits, front.n+back.n
	} else {
		front = twins.lay(chips)
		back = front
	}
	tooMany := len(rows) > len(m.lands[board.Top])+len(m.lands[board.Bottom])
	if tooMany || front.fits < fewestChips || front.share() < surelyFits {
		m.a.doubt(s.path, "no copper file carries pins, and of this list's two-terminal parts only %d of %d "+
			"fall on lands, however it is moved: another board's list, or too few parts to lay it by: its %d parts "+
			"have no pads: add a netlist (IPC-D-356) or Gerber files with pin attributes", front.fits, len(chips), len(rows))
		return front, back, false
	}
	return front, back, true
}

// match gives every part its lands: single lands, then pairs, then sets that
// repeat about the part's place, then what stands apart.
func (m *matcher) match() {
	m.singles()
	m.chips()
	m.seatClusters(true)
	slices.SortStableFunc(m.open, func(a, b *seat) int {
		return cmp.Compare(cmp.Or(a.pattern.count, math.MaxInt), cmp.Or(b.pattern.count, math.MaxInt))
	})
	for range 2 { // what the first round takes away may free the second
		for _, s := range m.open {
			if s.lands == nil && s.pattern.count > 0 {
				if got := m.counted(s); got != nil {
					m.give(s, got)
				}
			}
		}
	}
	m.looseChips()
	for m.strict = true; ; m.strict = false {
		for m.growAll() {
		}
		if !m.strict {
			break
		}
	}
	m.seatClusters(false)
}

// growAll gives lands to the parts whose count is not known, those with the
// nearest lands first; it tells whether any got some.
func (m *matcher) growAll() bool {
	any := false
	for _, s := range m.open {
		if s.lands == nil {
			if got := m.grown(s); got != nil {
				m.give(s, got)
				any = true
			}
		}
	}
	return any
}

// otherEnd is the land on the other side of a drilled pin.
func (m *matcher) otherEnd(l *freeLand) *freeLand {
	for o := range m.fine[1-l.side].around(l.at) {
		if o.drilled && o.hole == l.hole {
			return o
		}
	}
	return nil
}

// pads makes pads without a pin's name of the lands that parts were given; a
// drilled one on both sides.
func (m *matcher) pads() {
	a := m.a
	for _, s := range m.seats {
		for _, l := range s.lands {
			pad := board.Pad{Layer: a.outerLayer(l.side), At: l.at, Shape: l.shape, Ref: s.row.Ref,
				Function: "SMDPad", Hole: -1, File: l.file, Line: l.line}
			if l.drilled {
				pad.Function, pad.Hole, pad.At = "ComponentPad", l.hole, a.b.Holes[l.hole].Mid()
			}
			a.b.Pads = append(a.b.Pads, pad)
			if o := m.otherEnd(l); l.drilled && o != nil {
				pad.Layer, pad.Shape, pad.File, pad.Line = a.outerLayer(o.side), o.shape, o.file, o.line
				a.b.Pads = append(a.b.Pads, pad)
			}
		}
	}
	slices.SortStableFunc(a.b.Pads, func(p, q board.Pad) int { return cmp.Compare(p.Layer, q.Layer) })
}

// mostNamed is how many references a doubt spells out.
const mostNamed = 8

// tell doubts what could not be placed, and says what the rest stands on.
func (m *matcher) tell() {
	if len(m.seats) == 0 {
		return
	}
	missing := map[string][]string{}
	placed := 0
	for _, s := range m.seats {
		if s.lands != nil {
			placed++
			continue
		}
		why := m.whyNot(s)
		missing[why] = append(missing[why], s.row.Ref)
	}
	m.a.doubt("", "no copper file carries pins: %d of %d listed parts are matched to lands by place, package "+
		"and mask; their pins have no numbers: name places as L1@x,y", placed, len(m.seats))
	for _, why := range []string{noLand, otherLands, manyLands} {
		if refs := missing[why]; len(refs) > 0 {
			slices.SortFunc(refs, board.CompareRefs)
			m.a.doubt("", "%d listed parts have no pads: %s: %s", len(refs), why, firstFew(refs))
		}
	}
}

func firstFew(refs []string) string {
	if len(refs) <= mostNamed {
		return strings.Join(refs, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(refs[:mostNamed], ", "), len(refs)-mostNamed)
}

// Why a listed part has no pads.
const (
	noLand     = "no bare land is near their place (under mask, or not on this board)"
	otherLands = "the lands about their place do not repeat as the package's name says"
	manyLands  = "the lands about their place do not stand apart from others"
)

func (m *matcher) whyNot(s *seat) string {
	near := false
	for _, side := range s.sides {
		for l := range m.near[side].around(s.at) {
			near = near || l.ref == "" && geom.Distance(l.at, s.at) <= closeBy
		}
	}
	switch {
	case !near:
		return noLand
	case s.pattern.chip || s.pattern.count > 0:
		return otherLands
	}
	return manyLands
}

// closeBy is how near a free land must be to a part's place to be thought of
// as its own, nanometres.
const closeBy = 3_000_000

// partsUnplaced doubts a bill of materials, or a spreadsheet, without places
// on a board without pins.
func (a *assembly) partsUnplaced(has map[string]bool) {
	if len(has) > 0 {
		return
	}
	for _, s := range a.of(useValues) {
		if s.table.Kind == placement.Parts && len(s.table.Rows) > 0 {
			a.doubt(s.path, "a bill of materials alone does not tell where its %d parts are, and no copper file "+
				"carries pins: no part is known: add a pick-and-place list (.csv), a netlist (IPC-D-356) or Gerber "+
				"files with pin attributes", len(s.table.Rows))
			return
		}
	}
	for _, s := range a.set {
		if s.sheet {
			a.doubt(s.path, "no part is known, since no copper file carries pins, and this is %s", sheetRefused)
			return
		}
	}
}
