package boardread

import (
	"fmt"
	"math"
	"path"
	"slices"

	"ohmward/geom"
	"ohmward/internal/board"
)

// foreignFiles doubts files that tell of another board: a profile, a job file, a
// parts list.
func (a *assembly) foreignFiles() {
	a.landsOutside()
	a.listedSize()
	a.foreignParts()
}

const (
	landsOut     = 0.1       // of the lands that may lie outside the outline
	outlineSlack = 1_000_000 // nanometres by which they may
	outlineUsed  = 0.2       // of its area that copper's box covers at least
)

// landsOutside doubts a profile that the lands do not fit.
func (a *assembly) landsOutside() {
	files := a.of(useProfile)
	if len(files) != 1 || len(a.b.Outline) == 0 {
		return
	}
	outline := a.b.Outline.Bounds()
	box := outline.Grow(outlineSlack)
	var doubts []board.Doubt
	for _, l := range a.layers {
		lands := flashesOf(l)
		outside := slices.DeleteFunc(slices.Clone(lands), box.Holds)
		if len(outside) >= fewestLands && float64(len(outside)) > landsOut*float64(len(lands)) {
			doubts = append(doubts, doubtOf(l.path, 0, "%d of %d lands lie outside the outline, as at %s: another "+
				"board's copper or profile (%s), or another origin", len(outside), len(lands), place(outside[0]),
				files[0].path))
		}
	}
	switch {
	case len(doubts) == len(a.layers):
		a.doubt(files[0].path, "on every layer many lands lie outside the outline: %s", doubts[0].What)
		return
	case len(doubts) > 0:
		a.doubts(doubts...)
		return
	}
	if used := a.copperBounds(); boxArea(used) < outlineUsed*boxArea(outline) {
		a.doubt(files[0].path, "the outline is %s, but all copper lies within %s: another board's profile?",
			sizeOf(outline), sizeOf(used))
	}
}

func sizeOf(b geom.Box) string {
	if b.Empty() {
		return "nothing"
	}
	return fmt.Sprintf("%.1f x %.1f mm", float64(width(b))*1e-6, float64(height(b))*1e-6)
}

// jobSlack is how far the job file's size may be off the outline's, metres.
const jobSlack = 0.5e-3

// listedSize compares the job file's size with the outline's.
func (a *assembly) listedSize() {
	if a.job == nil || a.job.width <= 0 || a.job.height <= 0 || len(a.b.Copies) > 0 {
		return
	}
	b := a.b.Outline.Bounds()
	w, h := float64(width(b))*1e-9, float64(height(b))*1e-9
	off := func(x, y float64) bool {
		return math.Abs(x-float64(a.job.width)) > jobSlack+0.01*x ||
			math.Abs(y-float64(a.job.height)) > jobSlack+0.01*y
	}
	if off(w, h) && off(h, w) {
		a.doubt(a.job.path, "says the board is %.1f x %.1f mm, the profile %s: another board's job file or profile",
			float64(a.job.width)*1e3, float64(a.job.height)*1e3, sizeOf(b))
	}
}

// foreignParts doubts parts lists most of whose parts the copper does not
// know.
func (a *assembly) foreignParts() {
	own := map[string]bool{}
	for _, p := range a.b.Pads {
		own[a.unmarked(p.Ref)] = true
	}
	if len(own) < fewestSpots {
		return
	}
	for _, s := range a.of(useValues) {
		known := 0
		for _, r := range s.table.Rows {
			if own[r.Ref] {
				known++
			}
		}
		if n := len(s.table.Rows); n >= fewestSpots && 2*known < n {
			a.doubt(s.path, "only %d of the %d parts in %s have pads on the board: another board's or revision's "+
				"list?", known, n, path.Base(s.path))
		}
	}
}
