package boardread

import (
	"slices"

	"ohmward/geom"
)

const (
	// largestBoard is how much larger than the copper's box the box of an
	// outline found by content may be: a drawing's frame is larger still.
	largestBoard = 4.0
	// heldLands is the share of lands that such an outline must hold.
	heldLands = 0.98
)

// outlineByContent looks for the board's outline in layer images that no name
// tells: a closed line around the lands and not much more. Of several the
// tightest is taken.
func (a *assembly) outlineByContent() (*source, geom.Region) {
	lands := geom.Sample(a.flashes(), 2000)
	copper := a.copperBounds()
	if len(lands) == 0 || copper.Empty() {
		return nil, nil
	}
	var best *source
	var region geom.Region
	for _, s := range a.set {
		if s.img == nil || s.overridden || s.part || s.use != useOther && s.use != useNone {
			continue
		}
		ways, loops := profileWays(s.img)
		if len(ways) > maxOutlineWays {
			continue
		}
		rings := append(slices.Clone(loops), chain(ways, joinEnds)...)
		around := -1
		for i, r := range rings {
			if boxArea(r.Bounds()) <= largestBoard*boxArea(copper) && holds(r, lands) &&
				(around < 0 || boxArea(r.Bounds()) < boxArea(rings[around].Bounds())) {
				around = i
			}
		}
		if around < 0 || best != nil && boxArea(rings[around].Bounds()) >= boxArea(region.Bounds()) {
			continue
		}
		if r, err := nest([]geom.Ring{rings[around]}); err == nil {
			best, region = s, r
		}
	}
	return best, region
}

// maxOutlineWays is how many strokes an image may have to be searched.
const maxOutlineWays = 20_000

// holds tells whether a ring holds nearly all the lands.
func holds(ring geom.Ring, lands []geom.Point) bool {
	box := ring.Bounds()
	in := heldBy(func(p geom.Point) bool { return box.Holds(p) && ring.Contains(p) }, lands)
	return float64(in) >= heldLands*float64(len(lands))
}
