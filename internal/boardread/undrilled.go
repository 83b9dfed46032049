package boardread

import (
	"ohmward/format/gerber"
	"ohmward/geom"
	"ohmward/internal/board"
)

const (
	// mayStack is the share of lands above each other without a hole, and
	// fewestStacks their number, beyond which the holes are not the board's.
	mayStack     = 0.1
	fewestStacks = 5
	aloneArea    = 1.1 // of a land's area, up to which copper is the land alone
)

// undrilled doubts lands that stand at one place on two layers without a hole
// between them. Many mean that a drill file is missing or lacks its end. Few are
// told where they are not surely lands of surface parts, and join something.
func (a *assembly) undrilled() {
	total, paste := 0, a.pasted()
	var bare, sure []geom.Point
	above := map[geom.Point]*gerber.Object{}
	for l, s := range a.layers {
		here := map[geom.Point]*gerber.Object{}
		for o := range dark(s.img) {
			if o.Kind != gerber.Flash || here[o.At] != nil || !mayBeDrilled(o, paste[l]) {
				continue
			}
			here[o.At] = o
			upper := above[o.At]
			if upper == nil {
				continue
			}
			total++
			if a.drilledThrough(o.At, l) {
				continue
			}
			bare = append(bare, o.At)
			if a.grid.At(o.At, l, board.AnyHole) >= 0 {
				continue // of a blind hole from the other side
			}
			if isDrilledLand(upper) || isDrilledLand(o) || !a.standsAlone(o) {
				sure = append(sure, o.At)
			}
		}
		for at, o := range here {
			above[at] = o
		}
	}
	switch {
	case len(bare) >= fewestStacks && float64(len(bare)) > mayStack*float64(total):
		a.doubtPart("", "%d of %d lands that stand above each other have no hole, as at %s: a drill file is "+
			"missing, incomplete or another board's", len(bare), total, place(bare[0]))
	case len(sure) > 0:
		a.doubt("", "%d of %d lands that stand above each other have no hole, as at %s: are their holes missing "+
			"from a drill file?", len(sure), total, place(sure[0]))
	}
}

// isDrilledLand tells whether a land's attribute says that it has a hole.
func isDrilledLand(o *gerber.Object) bool {
	f := first(o.Function)
	return f == "ViaPad" || f == "ComponentPad"
}

// mayBeDrilled tells whether a land may have a hole: it says so, or is round or
// square and neither says otherwise nor is pasted.
func mayBeDrilled(o *gerber.Object, paste *geom.Locator) bool {
	switch first(o.Function) {
	case "ViaPad", "ComponentPad":
		return true
	case "", "WasherPad", "OtherPad", "Other", "Material":
	default:
		return false
	}
	return asWideAsHigh(o.Rings) && (paste == nil || paste.Locate(o.At) < 0)
}

// pasted finds paste on every layer; nil where there is none.
func (a *assembly) pasted() []*geom.Locator {
	out := make([]*geom.Locator, len(a.layers))
	for side, p := range a.b.Paste {
		if p != nil && len(out) > 0 {
			out[a.face(board.Side(side))] = geom.NewLocator(*p)
		}
	}
	return out
}

// standsAlone tells whether the copper of a place is, on every layer that has any,
// little more than a land: a mark, or a pin without a net.
func (a *assembly) standsAlone(o *gerber.Object) bool {
	land := geom.Fill(o.Rings, geom.NonZero).Area()
	for l, in := range a.located {
		if i := in.Locate(o.At); i >= 0 && a.b.Layers[l].Copper[i].Area() > aloneArea*land {
			return false
		}
	}
	return true
}

// drilledThrough tells whether a hole near p joins a layer to the one above.
func (a *assembly) drilledThrough(p geom.Point, layer int) bool {
	join := func(h board.Hole) bool { return h.First < layer && h.Last >= layer }
	return a.grid.At(p, layer, join) >= 0
}

func asWideAsHigh(rings []geom.Ring) bool {
	b := geom.Bounds(rings)
	w, h := width(b), height(b)
	return w > 0 && abs(w-h) <= w/50
}
