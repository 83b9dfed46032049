package ipcd356

import (
	"slices"

	"ohmward/geom"
)

// FitBack finds how the lands of the secondary side lie, where a netlist draws
// them as seen from that side, mirrored against the rest. It is false where
// they fit with the rest or do not fit mirrored either.
func FitBack(records []Record, points []geom.Point, front Move) (Move, bool) {
	places := distinct(slices.DeleteFunc(slices.Clone(records), func(r Record) bool { return !r.back() }))
	if len(places) < fewestBack || len(points) == 0 {
		return Move{}, false
	}
	grid := newNear(points)
	dx, _ := grid.residuals(turnedAll(front, places), front.Offset, fitReach)
	best := Move{Places: len(places), Fitted: len(dx)}
	found := false
	for _, m := range []Move{{MirrorX: !front.MirrorX, MirrorY: front.MirrorY},
		{MirrorX: front.MirrorX, MirrorY: !front.MirrorY}} {
		m.Places, m.Scale = len(places), front.Scale
		m = bestMove(m, places, grid)
		if m.Share() >= enough && float64(m.Fitted) > better*float64(best.Fitted) {
			best, found = m, true
		}
	}
	return best, found
}

// Front gives the records that FitBack leaves out.
func Front(records []Record) []Record {
	return slices.DeleteFunc(slices.Clone(records), Record.back)
}

// back tells a land of the secondary side.
func (r Record) back() bool { return r.Side == SideSecondary && r.Hole == 0 }

// fewestBack is how many lands of the secondary side tell that they are
// mirrored.
const fewestBack = 4
