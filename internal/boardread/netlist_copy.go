package boardread

import (
	"slices"

	"ohmward/format/ipcd356"
	"ohmward/geom"
)

// orientNetlist gives a netlist's records, and the places they are to be fitted
// onto. With a copy of a panel the netlist may be the copy's own, turned as
// the copy is, or the whole panel's.
func (a *assembly) orientNetlist(records []ipcd356.Record) ([]ipcd356.Record, []geom.Point) {
	lands := a.landPlaces()
	if len(a.b.Copies) == 0 {
		return records, lands
	}
	best := shareOf(records, lands)
	if best >= fitsWell {
		return records, lands
	}
	if a.only != nil && shareOf(records, a.lands) >= fitsWell && len(records) > len(lands) {
		return records, a.lands
	}
	out := records
	for quarters := 1; quarters < 4; quarters++ {
		turned := slices.Clone(records)
		for i := range turned {
			for range quarters {
				turned[i].At = geom.Point{X: -turned[i].At.Y, Y: turned[i].At.X}
			}
			turned[i].Rotation += 90 * quarters
		}
		if s := shareOf(turned, lands); s > best {
			out, best = turned, s
		}
	}
	return out, lands
}

// shareOf is the part of the records that can be laid onto places unmirrored.
func shareOf(records []ipcd356.Record, places []geom.Point) float64 {
	move, ok := ipcd356.Fit(records, places)
	if !ok || move.MirrorX || move.MirrorY {
		return 0
	}
	return move.Share()
}
