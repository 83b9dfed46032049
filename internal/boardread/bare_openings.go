package boardread

import (
	"cmp"
	"slices"

	"ohmward/format/gerber"
	"ohmward/geom"
	"ohmward/internal/board"
)

const (
	// pastedShare is how much of a paste opening lies on copper at least: it is drawn
	// no larger than its land.
	pastedShare = 0.5
	// bareShare is the share of a layer's openings beyond which they tell of another
	// thing than lands that are missing: paste or mask that belong to other copper.
	bareShare = 0.5
)

// missingLands doubts outer layers on which openings of paste or mask, or plated holes,
// have no copper under or about them: what else tells that a land is missing.
func (a *assembly) missingLands() {
	if len(a.layers) == 0 {
		return
	}
	for _, side := range []board.Side{board.Top, board.Bottom} {
		layer := a.face(side)
		if side == board.Bottom && layer == 0 || a.layers[layer].part || a.layers[layer].negative {
			continue
		}
		if at := a.bareOn(side, layer); len(at) > 0 {
			a.doubt(a.layers[layer].path, "%s has no land at %d of the places that paste, openings of the mask and plated "+
				"holes tell of, as at %s: are lands missing from the file?", a.layers[layer].role, len(at), place(at[0]))
		}
	}
}

// bareOn lists the places of an outer layer at which a land is missing, each once.
func (a *assembly) bareOn(side board.Side, layer int) (bare []geom.Point) {
	add := func(list []geom.Point, of int) {
		if float64(len(list)) > bareShare*float64(of) {
			return
		}
		for _, p := range list {
			if !slices.ContainsFunc(bare, func(q geom.Point) bool { return geom.Distance(p, q) <= padNear }) {
				bare = append(bare, p)
			}
		}
	}
	for use, open := range map[use]func(*gerber.Object, *geom.Locator) bool{usePaste: pastedBare, useMask: a.openBare} {
		var list []geom.Point
		all := 0
		for _, s := range a.of(use) {
			if s.img == nil || s.side != side {
				continue
			}
			for o := range dark(s.img) {
				if o.Kind != gerber.Flash || len(o.Rings) == 0 || a.only != nil && !a.only.holds(o.At) || !a.onBoard(o.At) {
					continue
				}
				if all++; open(o, a.located[layer]) {
					list = append(list, o.At)
				}
			}
		}
		add(list, all)
	}
	if list, all := a.boredBare(layer); len(list) >= fewestBored {
		add(list, all)
	}
	slices.SortFunc(bare, func(p, q geom.Point) int { return cmp.Or(cmp.Compare(p.Y, q.Y), cmp.Compare(p.X, q.X)) })
	return bare
}

func (a *assembly) onBoard(p geom.Point) bool {
	box := a.b.Outline.Bounds()
	return box.Empty() || box.Holds(p)
}

// pastedBare tells whether most of a paste opening lies on no copper.
func pastedBare(o *gerber.Object, in *geom.Locator) bool {
	on, all := onCopper(o, in)
	return float64(on) < pastedShare*float64(all)
}

// openBare tells whether a mask opening has neither copper nor a hole in it.
func (a *assembly) openBare(o *gerber.Object, in *geom.Locator) bool {
	on, _ := onCopper(o, in)
	return on == 0 && in.Locate(o.At) < 0 && a.grid.At(o.At, a.face(board.Top), board.AnyHole) < 0 &&
		a.grid.At(o.At, len(a.layers)-1, board.AnyHole) < 0
}

// within is how far from the middle to its rim an opening is sampled.
const within = 0.7

// onCopper counts samples of an opening, and those on copper.
func onCopper(o *gerber.Object, in *geom.Locator) (on, all int) {
	mid := geom.Bounds(o.Rings).Mid()
	for _, p := range o.Rings[0] {
		q := geom.Point{X: mid.X + int64(within*float64(p.X-mid.X)), Y: mid.Y + int64(within*float64(p.Y-mid.Y))}
		if all++; in.Locate(q) >= 0 {
			on++
		}
	}
	return on, all
}

// boredBare lists the plated holes through all layers that have no copper about them
// on an outer one though they have on the other, and counts all: those that have none
// on either are mounting holes.
func (a *assembly) boredBare(layer int) (bare []geom.Point, all int) {
	for _, h := range a.b.Holes {
		if !h.Plated || h.First != 0 || h.Last != len(a.layers)-1 || !a.onBoard(h.At) {
			continue
		}
		other := len(a.layers) - 1 - layer
		if all++; a.onRim(h, a.located[layer]) == 0 && a.onRim(h, a.located[other]) > 0 {
			bare = append(bare, h.At)
		}
	}
	return bare, all
}
