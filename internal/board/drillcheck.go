package board

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"ohmward/internal/geom"
)

// Shares of plated holes in pads that decide whether a drill file fits the
// copper. Real boards reach nearly one; a wrong unit leaves next to none.
const (
	fitsWell   = 0.8
	fitsBadly  = 0.4
	padNear    = 60_000 // nanometres between a hole and the flash it belongs to
	fewestHits = 3      // fewer holes cannot tell
)

// padFinder tells whether a hole fits a land.
type padFinder struct {
	cells map[[2]int64][]geom.Point
	all   []geom.Point
}

func newPadFinder(flashes []geom.Point) *padFinder {
	f := &padFinder{cells: map[[2]int64][]geom.Point{}, all: flashes}
	for _, p := range flashes {
		k := [2]int64{floorDiv(p.X, padNear), floorDiv(p.Y, padNear)}
		f.cells[k] = append(f.cells[k], p)
	}
	return f
}

func (f *padFinder) near(p geom.Point) bool {
	return slices.ContainsFunc(f.around(p), func(q geom.Point) bool { return geom.Distance(p, q) <= padNear })
}

// around lists the flashes in the cells about p.
func (f *padFinder) around(p geom.Point) []geom.Point {
	kx, ky := floorDiv(p.X, padNear), floorDiv(p.Y, padNear)
	var out []geom.Point
	for x := kx - 1; x <= kx+1; x++ {
		for y := ky - 1; y <= ky+1; y++ {
			out = append(out, f.cells[[2]int64{x, y}]...)
		}
	}
	return out
}

// share gives the part of the places that lie at a flash after a change.
func (f *padFinder) share(places []geom.Point, change func(geom.Point) geom.Point) float64 {
	n := 0
	for _, p := range places {
		if f.near(change(p)) {
			n++
		}
	}
	return float64(n) / float64(len(places))
}

// misreading is one way a drill file is commonly read wrong.
type misreading struct {
	factor float64
	what   string
}

var misreadings = []misreading{
	{25.4, "in inches instead of millimetres"},
	{1 / 25.4, "in millimetres instead of inches"},
	{10, "with one digit fewer after the point"},
	{0.1, "with one digit more after the point"},
	{100, "with two digits fewer after the point"},
	{0.01, "with two digits more after the point"},
	{2.54, "in inches and with one digit more after the point"},
	{1 / 2.54, "in millimetres and with one digit fewer after the point"},
	{0.254, "in inches and with two digits more after the point"},
	{1 / 0.254, "in millimetres and with two digits fewer after the point"},
}

// checkDrill compares one drill file's plated holes with the copper. flashes
// are the places of all flashes on copper; onCopper tells whether a place
// lies in copper of some layer. A file that fits only when read otherwise is
// an error, one that fits in no way a doubt.
func checkDrill(file string, places []geom.Point, flashes *padFinder, onCopper func(geom.Point) bool) (*Doubt, error) {
	if len(places) < fewestHits {
		return nil, nil
	}
	asIs := flashes.share(places, func(p geom.Point) geom.Point { return p })
	if asIs >= fitsBadly {
		return nil, nil
	}
	best, bestShare := misreading{}, 0.0
	for _, m := range misreadings {
		s := flashes.share(places, func(p geom.Point) geom.Point { return scaled(p, m.factor) })
		if s > bestShare {
			best, bestShare = m, s
		}
	}
	if bestShare >= fitsWell {
		return nil, fmt.Errorf("board: %s: only %.0f %% of its plated holes fall into pads, but %.0f %% if it is read %s: export the drill file again with its unit and format stated",
			file, 100*asIs, 100*bestShare, best.what)
	}
	if share := copperShare(places, onCopper); share >= 1-fitsBadly/4 {
		return nil, nil // pads drawn as strokes or regions
	}
	if by, s := bestShift(places, flashes); s >= fitsWell {
		x, y := by.MM()
		return nil, fmt.Errorf("board: %s: only %.0f %% of its plated holes fall into pads, but %.0f %% if it is shifted by %.3f,%.3f mm: export copper and drill files with the same origin",
			file, 100*asIs, 100*s, x, y)
	}
	return &Doubt{File: file, What: fmt.Sprintf(
		"only %.0f %% of its plated holes fall into pads: wrong unit, wrong origin or another board's file", 100*asIs)}, nil
}

func scaled(p geom.Point, f float64) geom.Point {
	at := func(v int64) int64 {
		return int64(math.Round(min(max(float64(v)*f, -geom.MaxCoord), geom.MaxCoord)))
	}
	return geom.Point{X: at(p.X), Y: at(p.Y)}
}

func copperShare(places []geom.Point, onCopper func(geom.Point) bool) float64 {
	n := 0
	for _, p := range places {
		if onCopper(p) {
			n++
		}
	}
	return float64(n) / float64(len(places))
}

// bestShift finds the shift that most often carries a hole onto a flash, by
// voting over pairs on a grid of padNear.
func bestShift(places []geom.Point, f *padFinder) (geom.Point, float64) {
	votes := map[geom.Point]int{}
	some, lands := sample(places, 60), sample(f.all, 1500)
	for _, p := range some {
		for _, q := range lands {
			votes[geom.Point{X: floorDiv(q.X-p.X, padNear/2), Y: floorDiv(q.Y-p.Y, padNear/2)}]++
		}
	}
	keys := make([]geom.Point, 0, len(votes))
	for k := range votes {
		keys = append(keys, k)
	}
	slices.SortFunc(keys, func(a, b geom.Point) int {
		return cmp.Or(cmp.Compare(votes[b], votes[a]), cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y))
	})
	var best geom.Point
	bestShare := 0.0
	for _, k := range keys[:min(len(keys), 5)] {
		by := geom.Point{X: k.X*(padNear/2) + padNear/4, Y: k.Y*(padNear/2) + padNear/4}
		s := f.share(places, func(p geom.Point) geom.Point { return geom.Point{X: p.X + by.X, Y: p.Y + by.Y} })
		if s > bestShare {
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
		q := geom.Point{X: p.X + by.X, Y: p.Y + by.Y}
		least, best := float64(padNear), geom.Point{}
		for _, o := range f.around(q) {
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
	slices.Sort(dx)
	slices.Sort(dy)
	return geom.Point{X: by.X + dx[len(dx)/2], Y: by.Y + dy[len(dy)/2]}
}

// sample takes at most n points, evenly.
func sample(ps []geom.Point, n int) []geom.Point {
	if len(ps) <= n {
		return ps
	}
	out := make([]geom.Point, n)
	for i := range out {
		out[i] = ps[i*len(ps)/n]
	}
	return out
}
