package boardread

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"

	"ohmward/format/excellon"
	"ohmward/geom"
	"ohmward/internal/board"
)

// Shares of plated holes in pads that decide whether a drill file fits the
// copper. Real boards reach nearly one; a wrong unit leaves next to none, wrong
// zeros leave those whose digits are all written.
const (
	fitsWell   = 0.8
	fitsFully  = 0.95
	fitsBetter = 0.05   // by which another reading must be better
	mayMiss    = 0.1    // of holes outside any copper without a doubt
	padNear    = 60_000 // nanometres between a hole and the flash it belongs to
	fewestHits = 3      // fewer holes cannot tell
)

// padFinder tells whether a hole fits a land.
type padFinder struct {
	grid[geom.Point]
	all []geom.Point
}

func newPadFinder(flashes []geom.Point) *padFinder {
	f := &padFinder{newGrid[geom.Point](padNear), flashes}
	for _, p := range flashes {
		f.add(p, p)
	}
	return f
}

func (f *padFinder) near(p geom.Point) bool {
	for q := range f.around(p) {
		if geom.Distance(p, q) <= padNear {
			return true
		}
	}
	return false
}

// share gives the part of the places that lie at a flash.
func (f *padFinder) share(places []geom.Point) float64 {
	return float64(heldBy(f.near, places)) / float64(len(places))
}

// misreading is one way a drill file is commonly read wrong: its places are
// so many times too small, its tools so many times.
type misreading struct {
	factor, tool float64
	what         string
}

var misreadings = []misreading{
	{25.4, 25.4, "in inches instead of millimetres"},
	{1 / 25.4, 1 / 25.4, "in millimetres instead of inches"},
	{10, 1, "with one digit fewer after the point"},
	{0.1, 1, "with one digit more after the point"},
	{100, 1, "with two digits fewer after the point"},
	{0.01, 1, "with two digits more after the point"},
	{2.54, 25.4, "in inches and with one digit more after the point"},
	{1 / 2.54, 1 / 25.4, "in millimetres and with one digit fewer after the point"},
	{0.254, 25.4, "in inches and with two digits more after the point"},
	{1 / 0.254, 1 / 25.4, "in millimetres and with two digits fewer after the point"},
}

// reading is a way to read a drill file: scaled, or with the other zeros.
type reading struct {
	misreading
	file  *excellon.File // with the other zeros kept; nil: scaled
	share float64        // of its plated holes in pads
}

// drillFit is one drill file held against the copper.
type drillFit struct {
	*source
	a          *assembly
	from, last int
	places     []geom.Point // of its plated round holes
	flashes    *padFinder   // all lands on copper
}

// check compares the plated holes with the copper. A file that fits only when
// read otherwise is an error, unless it does not state how, or the user lets the
// pads tell: then that reading is to be taken. One that fits in no way is a doubt.
func (c drillFit) check() (*reading, *board.Doubt, error) {
	if len(c.places) < fewestHits {
		return nil, nil, nil
	}
	asIs := c.flashes.share(c.places)
	if asIs >= fitsFully {
		return nil, nil, nil
	}
	if best := c.bestReading(); best.share >= max(fitsWell, asIs+fitsBetter) {
		as, s := best.what, best.share
		guessed := c.drill != nil && !c.drill.Trusted // another reading may be taken
		if guessed || c.fitted {
			why := "unit, digits or zeros are not said"
			if !guessed {
				why = "what it says of its unit, digits or zeros is wrong"
			}
			return &best, &board.Doubt{File: c.path, What: fmt.Sprintf(
				"%s: read %s, as then %.0f %% of its plated holes fall into pads", why, as, 100*s)}, nil
		}
		return nil, nil, problem(board.DrillUnit, c.path, "board: %s: only %.0f %% of its plated holes fall into "+
			"pads, but %.0f %% if it is read %s: export the drill file again with its unit and format stated, or "+
			"give it the role \"drill fitted\"", c.path, 100*asIs, 100*s, as)
	}
	lies := func(p geom.Point) bool { return c.flashes.near(p) || c.a.onCopper(p) }
	off := slices.DeleteFunc(slices.Clone(c.places), lies)
	if by, s := bestShift(c.places, c.flashes); len(off) > 0 && s >= max(fitsWell, asIs+2*fitsBetter) {
		x, y := by.MM()
		return nil, nil, fmt.Errorf("board: %s: only %.0f %% of its plated holes fall into pads, but %.0f %% if "+
			"it is shifted by %.3f,%.3f mm: export copper and drill files with the same origin",
			c.path, 100*asIs, 100*s, x, y)
	}
	if share := float64(len(off)) / float64(len(c.places)); share > mayMiss {
		d := partOf(doubtOf(c.path, 0, "%d of %d plated holes fall into no pad nor other copper, as at %s: wrong "+
			"unit, wrong origin or another board's file", len(off), len(c.places), place(off[0])))
		return nil, &d, nil
	}
	return nil, nil, nil
}

// bestReading tries the usual misreadings and gives the one that fits best.
func (c drillFit) bestReading() reading {
	var best reading
	for _, m := range misreadings {
		moved := make([]geom.Point, len(c.places))
		for i, p := range c.places {
			moved[i] = scaled(p, m.factor)
		}
		if s := c.flashes.share(moved); s > best.share {
			best = reading{misreading: m, share: s}
		}
	}
	for _, f := range c.otherZeros() {
		again := *c.source
		again.drill = f
		if s := c.flashes.share(platedPlaces(again.holes(c.from, c.last))); s > best.share {
			best = reading{misreading{1, 1, "with the other zeros left out (LZ against TZ)"}, f, s}
		}
	}
	return best
}

func scaled(p geom.Point, f float64) geom.Point {
	at := func(v int64) int64 {
		return int64(math.Round(min(max(float64(v)*f, -geom.MaxCoord), geom.MaxCoord)))
	}
	return geom.Point{X: at(p.X), Y: at(p.Y)}
}

// bestShift finds the shift that most often carries a hole onto a flash, by
// voting over pairs on a grid of padNear.
func bestShift(places []geom.Point, f *padFinder) (geom.Point, float64) {
	votes := map[geom.Point]int{}
	some, lands := geom.Sample(places, 60), geom.Sample(f.all, 1500)
	for _, p := range some {
		for _, q := range lands {
			votes[geom.Point{X: geom.FloorDiv(q.X-p.X, padNear/2), Y: geom.FloorDiv(q.Y-p.Y, padNear/2)}]++
		}
	}
	keys := slices.SortedFunc(maps.Keys(votes), func(a, b geom.Point) int {
		return cmp.Or(cmp.Compare(votes[b], votes[a]), cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y))
	})
	var best geom.Point
	bestShare := 0.0
	for _, k := range keys[:min(len(keys), 5)] {
		by := geom.Point{X: k.X*(padNear/2) + padNear/4, Y: k.Y*(padNear/2) + padNear/4}
		moved := make([]geom.Point, len(places))
		for i, p := range places {
			moved[i] = plus(p, by)
		}
		if s := f.share(moved); s > bestShare {
			best, bestShare = by, s
		}
	}
	return f.refine(places, best), bestShare
}

// refine takes the median of what is left between shifted places and their
// flashes off a shift.
func (f *padFinder) refine(places []geom.Point, by geom.Point) geom.Point {
	var dx, dy []int64
	for _, p := range places {
		q := plus(p, by)
		least, best := float64(padNear), geom.Point{}
		for o := range f.around(q) {
			if d := geom.Distance(q, o); d < least {
				least, best = d, geom.Point{X: o.X - q.X, Y: o.Y - q.Y}
			}
		}
		if least < padNear {
			dx, dy = append(dx, best.X), append(dy, best.Y)
		}
	}
	if len(dx) == 0 {
		return by
	}
	return plus(by, geom.Point{X: medianOf(dx), Y: medianOf(dy)})
}
