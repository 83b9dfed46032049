package copper

import (
	"ohmward/geom"
	"ohmward/internal/board"
)

// chordError is how far, in nanometres, the polygon of a hole may stay inside
// its circle.
const chordError = 250

// holeRing is the outline of a hole or slot.
func holeRing(h board.Hole) geom.Ring {
	return geom.Stroke(h.At, h.To, h.Diameter, chordError)
}

// holeRings are the outlines of all holes through a layer.
func holeRings(b *board.Board, layer int) []geom.Ring {
	var holes []geom.Ring
	for _, h := range b.Holes {
		if h.From <= layer && layer <= h.Til && h.Diameter > 0 {
			holes = append(holes, holeRing(h))
		}
	}
	return holes
}

func ringsOf(r geom.Region) []geom.Ring {
	var out []geom.Ring
	r.Rings(func(r geom.Ring) { out = append(out, r) })
	return out
}

// finderCell is the grid of holeFinder, in nanometres.
const finderCell = 1_000_000

// holeFinder finds the holes near a place.
type holeFinder struct {
	holes []board.Hole
	cells map[[2]int64][]int32
}

func newHoleFinder(holes []board.Hole, grow int64) *holeFinder {
	f := &holeFinder{holes: holes, cells: map[[2]int64][]int32{}}
	for i, h := range holes {
		box := geom.EmptyBox().Extend(h.At).Extend(h.To).Grow(h.Diameter/2 + grow + 1)
		for x := cellOf(box.Min.X); x <= cellOf(box.Max.X); x++ {
			for y := cellOf(box.Min.Y); y <= cellOf(box.Max.Y); y++ {
				f.cells[[2]int64{x, y}] = append(f.cells[[2]int64{x, y}], int32(i))
			}
		}
	}
	return f
}

func cellOf(v int64) int64 {
	q := v / finderCell
	if v%finderCell < 0 {
		q--
	}
	return q
}

// near lists the holes whose rim may lie within the finder's growth of p, in
// the board's order.
func (f *holeFinder) near(p geom.Point) []int32 {
	return f.cells[[2]int64{cellOf(p.X), cellOf(p.Y)}]
}

// at gives the first hole on the layer that holds p, or -1; plated asks for a
// plated one.
func (f *holeFinder) at(layer int, p geom.Point, plated bool) int {
	for _, i := range f.near(p) {
		h := f.holes[i]
		if h.From <= layer && layer <= h.Til && (h.Plated || !plated) && h.Holds(p) {
			return int(i)
		}
	}
	return -1
}

// touching lists the plated holes on the layer that a disc about p touches,
// the nearest first.
func (f *holeFinder) touching(layer int, p geom.Point, radius int64) []int {
	type hit struct {
		hole int
		dist float64
	}
	var hits []hit
	for _, i := range f.near(p) {
		h := f.holes[i]
		d := geom.DistPointSegment(p, h.At, h.To) - float64(h.Diameter)/2
		if h.Plated && h.From <= layer && layer <= h.Til && d <= float64(radius) {
			k := len(hits)
			hits = append(hits, hit{int(i), d})
			for ; k > 0 && hits[k-1].dist > d; k-- {
				hits[k], hits[k-1] = hits[k-1], hits[k]
			}
		}
	}
	out := make([]int, len(hits))
	for k, h := range hits {
		out[k] = h.hole
	}
	return out
}
