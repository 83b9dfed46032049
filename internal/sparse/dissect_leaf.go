package sparse

import "math/bits"

// minimumDegree orders a piece of at most leafSize vertices: next comes
// always the vertex with the fewest neighbours in the graph that is left. A
// piece larger than that (one that cannot be cut) is left as it is.
//
// Sets of vertices are bits of a word: one word for those of the piece, one
// for those around it, of which two may share a bit.
func (d *dissection) minimumDegree(piece []int32) {
	n := len(piece)
	if n > leafSize || n == 0 {
		return
	}
	var inner, outer [leafSize]uint64
	for i, v := range piece {
		d.succ[v] = int32(i)
	}
	for i, v := range piece {
		for _, w := range d.neighbours(v) {
			if d.class[w] == outside {
				outer[i] |= 1 << (uint32(w) * 2654435769 >> 26)
			} else {
				inner[i] |= 1 << d.succ[w]
			}
		}
	}
	var order [leafSize]int32
	alive := ^uint64(0) >> (64 - n)
	for k := range n {
		best, least := -1, 1<<30
		for rest := alive; rest != 0; rest &= rest - 1 {
			i := bits.TrailingZeros64(rest)
			degree := bits.OnesCount64(inner[i]&alive) + bits.OnesCount64(outer[i])
			if degree < least {
				best, least = i, degree
			}
		}
		order[k] = piece[best]
		alive &^= 1 << best
		for rest := inner[best] & alive; rest != 0; rest &= rest - 1 {
			i := bits.TrailingZeros64(rest)
			inner[i] |= inner[best] &^ (1 << i)
			outer[i] |= outer[best]
		}
	}
	copy(piece, order[:n])
}
