package boardread

import (
	"ohmward/format/gerber"
	"ohmward/geom"
	"ohmward/internal/board"
)

const (
	fewestIdle = 10  // clear objects that clear nothing, up to which they are no doubt
	idleShare  = 0.5 // of all clear objects, likewise

	// fewestBored is how many plated holes lose their outer lands: some vias have
	// none on purpose.
	fewestBored = 3
)

// paintedAway doubts layers of which objects that draw copper are clear, as behind
// a polarity command that does not belong there.
func (a *assembly) paintedAway() {
	for l, s := range a.layers {
		if s.negative || s.part {
			continue
		}
		c := a.clearedOn(l, s)
		switch {
		case c.told():
			a.doubtAt(s.path, c.line, "%d lands of %s, which a pin, a plated hole or an opening of the mask tells "+
				"of, are drawn clear, as at %s: does a %%LPC*%% before them not belong there?", c.lands, s.role, place(c.first))
		case c.idle >= fewestIdle && float64(c.idle) > idleShare*float64(c.all):
			a.doubtAt(s.path, c.line, "%d of %d objects of %s that are drawn clear clear nothing, as at %s: does a "+
				"%%LPC*%% before them not belong there?", c.idle, c.all, s.role, place(c.first))
		}
	}
}

// cleared counts the clear objects of a layer.
type cleared struct {
	all, idle, lands int
	sure             int // lands with a pin, or under an opening
	line             int // of the first that is odd
	first            geom.Point
}

func (c *cleared) note(o *gerber.Object, count *int) {
	if *count++; c.line == 0 {
		c.line, c.first = o.Line, o.At
	}
}

// told tells whether so many lands are no accident.
func (c *cleared) told() bool { return c.sure > 0 || c.lands >= fewestBored }

// clearedOn counts clear objects of a layer that clear nothing, and lands among
// them: at the place of an outer layer's plated hole or opening, or with a pin,
// where no copper is.
func (a *assembly) clearedOn(layer int, s *source) cleared {
	var c, lands cleared
	var before *clearings
	var open *padFinder
	for i := range s.img.Objects {
		o := &s.img.Objects[i]
		if o.Dark || len(o.Rings) == 0 || a.only != nil && !a.only.holds(o.At) {
			continue
		}
		if before == nil {
			before, open = newObjects(s.img, true), a.openings(layer)
		}
		c.all++
		if !before.before(i, o.At) && !before.before(i, o.To) && !before.before(i, geom.Bounds(o.Rings).Mid()) {
			c.note(o, &c.idle)
		}
		if land, sure := a.clearLand(layer, o, open); land {
			lands.note(o, &lands.lands)
			if sure {
				lands.sure++
			}
		}
	}
	if lands.told() {
		lands.all, lands.idle = c.all, c.idle
		return lands
	}
	return c
}

// openings finds the middles of the mask's openings over a layer.
func (a *assembly) openings(layer int) *padFinder {
	var at []geom.Point
	for _, s := range a.of(useMask) {
		if s.img != nil && a.face(s.side) == layer {
			at = append(at, spots(s.img)...)
		}
	}
	return newPadFinder(at)
}

// clearLand tells whether a clear flash is a land that is painted away; sure where
// more than a plated hole says so.
func (a *assembly) clearLand(layer int, o *gerber.Object, open *padFinder) (land, sure bool) {
	outer := layer == 0 || layer == len(a.layers)-1
	hole := a.grid.At(o.At, layer, board.AnyHole)
	switch {
	case o.Kind != gerber.Flash || a.located[layer].Locate(o.At) >= 0:
		return false, false
	case hole < 0:
		sure = o.Pin != "" || outer && open.near(o.At)
		return sure, sure
	case !a.b.Holes[hole].Plated || !outer || a.onRim(a.b.Holes[hole], a.located[layer]) > 0:
		return false, false
	}
	return true, o.Pin != ""
}
