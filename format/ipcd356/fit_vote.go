package ipcd356

import (
	"cmp"
	"slices"

	"ohmward/geom"
)

// bin is one square of offsets, voteReach wide, with its votes.
type bin struct {
	key   uint64
	votes int
}

// key packs the square of an offset; offsets stay within two metres.
func key(x, y int64) uint64 {
	return uint64(uint32(geom.FloorDiv(x, voteReach)))<<32 | uint64(uint32(geom.FloorDiv(y, voteReach)))
}

// neighbour is the key of a square beside another.
func neighbour(k uint64, dx, dy int32) uint64 {
	return uint64(uint32(int32(k>>32)+dx))<<32 | uint64(uint32(int32(k)+dy))
}

// vote gives the offsets that most pairs of place and point agree on, best
// first. An offset on the edge of its square shares its votes with the squares
// beside, so those are counted too.
func vote(places, points []geom.Point) []geom.Point {
	voters := geom.Sample(places, min(max(mostVotes/len(points), leastVoter), mostVoter))
	keys := make([]uint64, 0, len(voters)*len(points))
	for _, p := range voters {
		for _, q := range points {
			keys = append(keys, key(q.X-p.X, q.Y-p.Y))
		}
	}
	slices.Sort(keys)
	bins := count(keys)
	order := func(a, b bin) int { return cmp.Or(cmp.Compare(b.votes, a.votes), cmp.Compare(a.key, b.key)) }
	top := slices.Clone(bins)
	slices.SortFunc(top, order)
	top = top[:min(len(top), 8*candidates)]
	for i := range top {
		top[i].votes = around(bins, top[i].key)
	}
	slices.SortFunc(top, order)
	var out []geom.Point
	for _, b := range top[:min(len(top), candidates)] {
		out = append(out, geom.Point{
			X: int64(int32(b.key>>32))*voteReach + voteReach/2,
			Y: int64(int32(b.key))*voteReach + voteReach/2,
		})
	}
	return out
}

// count makes bins of sorted keys.
func count(keys []uint64) (bins []bin) {
	for i := 0; i < len(keys); {
		j := i + 1
		for j < len(keys) && keys[j] == keys[i] {
			j++
		}
		bins = append(bins, bin{keys[i], j - i})
		i = j
	}
	return bins
}

// around sums the votes of a square and the eight beside it.
func around(bins []bin, k uint64) (votes int) {
	for dx := int32(-1); dx <= 1; dx++ {
		for dy := int32(-1); dy <= 1; dy++ {
			i, ok := slices.BinarySearchFunc(bins, neighbour(k, dx, dy),
				func(b bin, k uint64) int { return cmp.Compare(b.key, k) })
			if ok {
				votes += bins[i].votes
			}
		}
	}
	return votes
}

// near finds the point nearest to a place within some reach.
type near struct {
	points []geom.Point
	cells  map[[2]int64][]int32
}

const nearCell = 2 * voteReach

// mostInCell bounds the work where points lie in a heap; pads do not.
const mostInCell = 32

func newNear(points []geom.Point) *near {
	n := &near{sorted(slices.Clone(points)), make(map[[2]int64][]int32, len(points))}
	for i, p := range n.points {
		c := [2]int64{geom.FloorDiv(p.X, nearCell), geom.FloorDiv(p.Y, nearCell)}
		if len(n.cells[c]) < mostInCell {
			n.cells[c] = append(n.cells[c], int32(i))
		}
	}
	return n
}

// residuals are the steps from every moved place to its nearest point, for
// those that have one within reach (at most nearCell) along each axis.
func (n *near) residuals(places []geom.Point, offset geom.Point, reach int64) (dx, dy []int64) {
	for _, p := range places {
		x, y, ok := n.nearest(geom.Point{X: p.X + offset.X, Y: p.Y + offset.Y}, reach)
		if ok {
			dx, dy = append(dx, x), append(dy, y)
		}
	}
	return dx, dy
}

func (n *near) nearest(p geom.Point, reach int64) (dx, dy int64, ok bool) {
	best := int64(-1)
	for i := geom.FloorDiv(p.X-reach, nearCell); i <= geom.FloorDiv(p.X+reach, nearCell); i++ {
		for j := geom.FloorDiv(p.Y-reach, nearCell); j <= geom.FloorDiv(p.Y+reach, nearCell); j++ {
			for _, k := range n.cells[[2]int64{i, j}] {
				x, y := n.points[k].X-p.X, n.points[k].Y-p.Y
				if max(x, -x, y, -y) > reach {
					continue
				}
				if d := x*x + y*y; best < 0 || d < best {
					best, dx, dy, ok = d, x, y, true
				}
			}
		}
	}
	return dx, dy, ok
}
