package boardread

import (
	"fmt"

	"ohmward/geom"
	"ohmward/internal/board"
)

// missingFiles doubts what a set seems to lack: a mask of one side only, an odd
// number of layers, layers that the netlist names, and holes under lands that
// stand above each other.
func (a *assembly) missingFiles() {
	b := a.b
	for side, name := range [2]string{"top", "bottom"} {
		if b.Mask[side] == nil && b.Mask[1-side] != nil && len(a.layers) > 1 {
			a.doubt("", "no solder mask file for the %s, though there is one for the other side: that side's copper "+
				"counts as bare", name)
		}
	}
	if n := len(a.layers); n > 1 && n%2 == 1 {
		a.oddCount()
	}
	for _, s := range a.of(useNetlist) {
		if s.list != nil && s.list.Layers > len(a.layers) {
			a.doubt(s.path, "the netlist names layer %d, the files hold %d copper layers: add the missing ones",
				s.list.Layers, len(a.layers))
		}
	}
	a.undrilled()
	a.paintedAway()
	a.missingLands()
	a.holesOffBoard()
	a.register()
	a.foreignFiles()
	a.repeatedPins()
}

// noDrill doubts a set without a drill file. One layer has nothing to join.
func (a *assembly) noDrill() {
	if len(a.layers) < 2 {
		a.doubts(noDrillDoubt("no drill file: no copper is drilled away"))
		return
	}
	a.doubts(partOf(noDrillDoubt("no drill file: layers are joined nowhere: add the drill files")))
}

func noDrillDoubt(what string) board.Doubt { return board.Doubt{Code: board.NoDrill, What: what} }

// Plausible sizes of drills, nanometres (common practice, no source).
const (
	thinnestDrill = 40_000
	widestDrill   = 13_000_000
)

// plausible is the error for a drill file most of whose holes no drill makes.
func plausible(file string, holes []board.Hole) error {
	if len(holes) < fewestHits {
		return nil
	}
	var d []int64
	for _, h := range holes {
		d = append(d, h.Diameter)
	}
	if m := medianOf(d); m < thinnestDrill || m > widestDrill {
		return fmt.Errorf("board: %s: half its holes are %.4g mm wide or %s: the tool sizes are in another unit "+
			"than the file says: export it again",
			file, float64(m)*1e-6, map[bool]string{true: "less", false: "more"}[m < thinnestDrill])
	}
	return nil
}

// outsideShare is the part of a drill file's holes that may lie off the board
// without a doubt: tooling holes in a frame.
const outsideShare = 0.25

// holesOffBoard doubts drill files many of whose holes lie off the board.
func (a *assembly) holesOffBoard() {
	box := a.b.Outline.Bounds()
	if box.Empty() {
		return
	}
	total, off := map[string]int{}, map[string]int{}
	var files []string
	at := map[string]geom.Point{}
	for _, h := range a.b.Holes {
		if total[h.File] == 0 {
			files = append(files, h.File)
		}
		total[h.File]++
		if !box.Holds(h.At) && !box.Holds(h.To) {
			off[h.File]++
			at[h.File] = h.At
		}
	}
	for _, f := range files {
		if float64(off[f]) > outsideShare*float64(total[f]) {
			a.doubt(f, "%d of %d holes lie outside the board, as at %s: wrong unit or origin?", off[f], total[f],
				place(at[f]))
		}
	}
}

// repeatedPins doubts data in which most pins are there the same number of
// times, though no copies of a board were found in it.
func (a *assembly) repeatedPins() {
	if len(a.b.Copies) > 0 {
		return
	}
	count := map[pinKey]int{}
	for _, p := range a.b.Pads {
		if p.Pin == "" {
			continue // a land without a pin's name
		}
		count[pinKey{p.Layer, p.Ref, p.Pin}]++
	}
	many := map[int]int{}
	for _, n := range count {
		many[n]++
	}
	for n := 2; n <= 200; n++ {
		if m := many[n]; m >= 10 && 5*m > 4*len(count) {
			a.doubt("", "%d of %d pins are there %d times: a panel of %d copies whose outlines are not drawn, read "+
				"as one board: give the files of one board to have it alone", m, len(count), n, n)
			return
		}
	}
}
