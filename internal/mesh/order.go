package mesh

import (
	"cmp"
	"slices"
)

// insertionOrder gives the order in which the points are best inserted: in
// random rounds of doubling size (so that the work is n log n whatever the
// input), each round along a Hilbert curve (so that each walk is short). The
// randomness is a fixed function of the index, hence the order is always the
// same.
func insertionOrder(p []point, lo, hi point) []int32 {
	type keyed struct {
		key uint64
		i   int32
	}
	side := max(hi.x-lo.x, hi.y-lo.y, 1)
	scale := float64(1<<24-1) / side
	keys := make([]keyed, len(p))
	for i, q := range p {
		round := uint64(0)
		for h := mix(uint64(i)); h&1 == 1 && round < 20; h >>= 1 {
			round++
		}
		x, y := uint32((q.x-lo.x)*scale), uint32((q.y-lo.y)*scale)
		keys[i] = keyed{(20-round)<<48 | hilbert(x, y), int32(i)}
	}
	slices.SortFunc(keys, func(a, b keyed) int {
		return cmp.Or(cmp.Compare(a.key, b.key), cmp.Compare(a.i, b.i))
	})
	order := make([]int32, len(p))
	for k, e := range keys {
		order[k] = e.i
	}
	return order
}

// mix scatters the bits of x (the SplitMix64 finaliser).
func mix(x uint64) uint64 {
	x += 0x9e3779b97f4a7c15
	x = (x ^ x>>30) * 0xbf58476d1ce4e5b9
	x = (x ^ x>>27) * 0x94d049bb133111eb
	return x ^ x>>31
}

// hilbert gives the place of (x, y) along a Hilbert curve of 24 bits a side.
func hilbert(x, y uint32) uint64 {
	var d uint64
	for s := uint32(1) << 23; s > 0; s >>= 1 {
		var rx, ry uint32
		if x&s != 0 {
			rx = 1
		}
		if y&s != 0 {
			ry = 1
		}
		d = d<<2 | uint64(3*rx^ry)
		if ry == 0 {
			if rx == 1 {
				x, y = ^x&(1<<24-1), ^y&(1<<24-1)
			}
			x, y = y, x
		}
	}
	return d
}
