package boardread

import (
	"slices"

	"ohmward/geom"
	"ohmward/internal/board"
)

// besideBoard takes copper away that lies wholly outside the outline, as legal
// text in the frame of a drawing does: it is no net of the board. What a plated
// hole joins to the board's own copper stays, as does all where the outline is not
// known or many lands lie outside it.
func (a *assembly) besideBoard() {
	if !a.outlined || a.foreignOutline() {
		return
	}
	outline := geom.NewLocator(a.b.Outline)
	beside := make([]map[int]bool, len(a.layers))
	for l := range a.b.Layers {
		beside[l] = map[int]bool{}
		for i, p := range a.b.Layers[l].Copper {
			if a.liesBeside(p, outline) {
				beside[l][i] = true
			}
		}
	}
	a.keepJoined(beside)
	if a.mostlyBeside(beside) {
		return
	}
	for l, gone := range beside {
		if len(gone) == 0 {
			continue
		}
		layer := &a.b.Layers[l]
		var kept geom.Region
		area := 0.0
		var first *geom.Polygon
		for i := range layer.Copper {
			p := &layer.Copper[i]
			if !gone[i] {
				kept = append(kept, *p)
				continue
			}
			if area += p.Area(); first == nil {
				first = p
			}
		}
		pieces := "pieces"
		if len(gone) == 1 {
			pieces = "piece"
		}
		a.doubt(layer.File, "copper on %s wholly outside the outline: %d %s, %.3g mm2 in all, as at %s: no part of "+
			"the board, left out", layer.Name, len(gone), pieces, area*1e-12, place(first.Outer[0]))
		layer.Copper = kept
		a.located[l] = geom.NewLocator(kept)
	}
}

// mostlyBeside tells whether that is half of all copper: then the outline is not
// this board's.
func (a *assembly) mostlyBeside(beside []map[int]bool) bool {
	all, out := 0.0, 0.0
	for l := range a.b.Layers {
		for i, p := range a.b.Layers[l].Copper {
			all += p.Area()
			if beside[l][i] {
				out += p.Area()
			}
		}
	}
	return 2*out > all
}

// liesBeside tells whether no point of a piece lies in the outline.
func (a *assembly) liesBeside(p geom.Polygon, outline *geom.Locator) bool {
	if !p.Bounds().Touches(a.b.Outline.Bounds()) {
		return true
	}
	if slices.ContainsFunc(p.Outer, func(q geom.Point) bool { return outline.Locate(q) >= 0 }) {
		return false
	}
	return len(geom.Intersection(geom.Region{p}, a.b.Outline)) == 0
}

// foreignOutline tells whether so many lands of a layer lie outside the outline
// that it may be another board's, or of another origin.
func (a *assembly) foreignOutline() bool {
	box := a.b.Outline.Bounds().Grow(outlineSlack)
	for _, s := range a.layers {
		lands := flashesOf(s)
		in := heldBy(box.Holds, lands)
		if out := len(lands) - in; out >= fewestLands && float64(out) > landsOut*float64(len(lands)) {
			return true
		}
	}
	return false
}

// keepJoined takes off the list what plated holes join to copper that is not on
// it.
func (a *assembly) keepJoined(beside []map[int]bool) {
	type piece struct{ layer, index int }
	var joins [][]piece
	for _, h := range a.b.Holes {
		if !h.Plated {
			continue
		}
		var of []piece
		listed := false
		for l := h.First; l <= h.Last; l++ {
			if i := a.pieceAt(h, l); i >= 0 {
				of = append(of, piece{l, i})
				listed = listed || beside[l][i]
			}
		}
		if listed {
			joins = append(joins, of)
		}
	}
	for again := true; again; {
		again = false
		for _, of := range joins {
			if !slices.ContainsFunc(of, func(p piece) bool { return !beside[p.layer][p.index] }) {
				continue
			}
			for _, p := range of {
				if beside[p.layer][p.index] {
					delete(beside[p.layer], p.index)
					again = true
				}
			}
		}
	}
}

// pieceAt gives the copper of a layer that a hole's middle or rim touches, or -1.
func (a *assembly) pieceAt(h board.Hole, layer int) int {
	r := h.Diameter/2 + rimReach
	for _, d := range [5]geom.Point{{}, {X: r}, {X: -r}, {Y: r}, {Y: -r}} {
		if i := a.located[layer].Locate(plus(h.At, d)); i >= 0 {
			return i
		}
	}
	return -1
}
