package sparse

import "ohmward/internal/parallel"

// columnBlock is how many columns are eliminated before the rest of a wide
// panel is updated by them, and how much of a product's inner dimension is taken
// at a time: the operands then stay in the nearer caches.
const columnBlock = 64

// factorPanel overwrites the assembled panel l by its columns of L. minPivot[j]
// is the smallest pivot that counts as positive in column j. It returns the
// first column whose pivot does not, or -1.
//
// A shared panel is worked on by all cores. Most are so small that to make
// closures for them would take more memory than their updates: those are not.
func factorPanel(p panel, l, minPivot []float64, shared bool) int {
	blocks, rows := p.blocks(), p.blocks()+p.slivers()
	const step = columnBlock / 4
	for from := 0; from < blocks; from += step {
		to := min(from+step, blocks)
		for t := from; t < to; t++ {
			updateColumns(p, l, t, t, to, 4*from, 4*t)
			if bad := factorDiagonal(l[p.pivotSliver(t)+16*t:], minPivot[4*t:]); bad >= 0 {
				return 4*t + bad
			}
			solveSlivers(p, l, t, t+1, to)
		}
		if shared {
			shareRest(p, l, from, to, rows)
			continue
		}
		for lo := to; lo < rows; lo += sliverBatch {
			lowerSlivers(p, l, from, to, lo, min(lo+sliverBatch, rows))
		}
		for t := to; t < blocks; t++ {
			updateColumns(p, l, t, t, rows, 4*from, 4*to)
		}
	}
	return -1
}

// sliverBatch is how many slivers are one core's piece of work.
const sliverBatch = 16

// shareRest finishes the columns of blocks from .. to-1 and subtracts what they
// contribute to the columns after them, on all cores.
func shareRest(p panel, l []float64, from, to, rows int) {
	parallel.Ranges(rows-to, sliverBatch, func(lo, hi int) { lowerSlivers(p, l, from, to, to+lo, to+hi) })
	parallel.Each(p.blocks()-to, func(i int) { updateColumns(p, l, to+i, to+i, rows, 4*from, 4*to) })
}

// lowerSlivers finishes columns of blocks from .. to-1 in the slivers lo .. hi-1.
func lowerSlivers(p panel, l []float64, from, to, lo, hi int) {
	for t := from; t < to; t++ {
		updateColumns(p, l, t, lo, hi, 4*from, 4*t)
		solveSlivers(p, l, t, lo, hi)
	}
}

// updateColumns subtracts from the four columns of block t, in slivers lo ..
// hi-1, the product of the columns from .. to-1:
//
//	L[rows, block t] -= L[rows, from:to] L[block t, from:to]'.
func updateColumns(p panel, l []float64, t, lo, hi, from, to int) {
	depth := to - from
	if depth <= 0 {
		return
	}
	a := l[p.pivotSliver(t)+4*from:]
	i := lo
	for ; i+1 < hi; i += 2 {
		x, y := l[p.sliver(i):], l[p.sliver(i+1):]
		tile8(depth, a, x[4*from:], y[4*from:], 4, x[16*t:], y[16*t:], 4)
	}
	if i < hi {
		x := l[p.sliver(i):]
		tile4(depth, a, x[4*from:], 4, x[16*t:], 4)
	}
}

// solveSlivers solves X L' = B for the four columns of block t in slivers lo
// .. hi-1, given the factor of the diagonal block.
func solveSlivers(p panel, l []float64, t, lo, hi int) {
	d := l[p.pivotSliver(t)+16*t:][:16]
	r0, l10, l20, l30 := d[0], d[1], d[2], d[3]
	r1, l21, l31 := d[5], d[6], d[7]
	r2, l32, r3 := d[10], d[11], d[15]
	for i := lo; i < hi; i++ {
		x := l[p.sliver(i)+16*t:][:16]
		for r := range 4 {
			x0 := x[r] * r0
			x1 := (x[4+r] - l10*x0) * r1
			x2 := (x[8+r] - l20*x0 - l21*x1) * r2
			x3 := (x[12+r] - l30*x0 - l31*x1 - l32*x2) * r3
			x[r], x[4+r], x[8+r], x[12+r] = x0, x1, x2, x3
		}
	}
}

// updateMatrix subtracts L2 L2' from the lower triangle of c, L2 being the
// part of the panel below its pivot block.
func updateMatrix(p panel, l, c []float64, shared bool) {
	n := (p.slivers() + sliverBatch - 1) / sliverBatch
	if shared {
		parallel.Each(n, func(k int) { updateBatch(p, l, c, k) })
		return
	}
	for k := range n {
		updateBatch(p, l, c, k)
	}
}

// updateBatch does the k-th batch of slivers of columns.
func updateBatch(p panel, l, c []float64, k int) {
	stride, slivers, lo := updateStride(p.u), p.slivers(), k*sliverBatch
	for from := 0; from < p.w; from += 2 * columnBlock {
		depth := min(2*columnBlock, p.w-from)
		for i := lo; i < slivers; i++ {
			a := l[p.lowerSliver(i)+4*from:]
			row := c[4*i*stride:]
			for j := lo; j <= i && j < lo+sliverBatch; j += 2 {
				x := l[p.lowerSliver(j)+4*from:]
				y := x
				if j+1 < slivers {
					y = l[p.lowerSliver(j+1)+4*from:]
				}
				tile8(depth, a, x, y, 4, row[4*j:], row[4*j+4:], stride)
			}
		}
	}
}

// clearUpdate zeroes what of an update matrix is used.
func clearUpdate(u int, c []float64) {
	stride := updateStride(u)
	for i := 0; i < (u+3)&^3; i++ {
		clear(c[i*stride : i*stride+min(stride, (i+8)&^7)])
	}
}

// packUpdate copies the lower triangle of an update matrix of u rows, row
// after row.
func packUpdate(u int, to, c []float64) {
	stride := updateStride(u)
	for i := range u {
		copy(to[:i+1], c[i*stride:])
		to = to[i+1:]
	}
}

// extendAdd adds a child's packed update matrix to its parent's panel and update
// matrix. place[i] is where row i of the child stands in the parent.
func extendAdd(p panel, l, c []float64, place []int32, from []float64) {
	stride := updateStride(p.u)
	pivots := 0
	for pivots < len(place) && int(place[pivots]) < p.w {
		pivots++
	}
	for i := range place {
		row := from[:i+1]
		from = from[i+1:]
		if i < pivots {
			at := p.pivotRow(int(place[i]))
			for j, v := range row {
				l[at+4*int(place[j])] += v
			}
			continue
		}
		q := int(place[i]) - p.w
		at := l[p.lowerRow(q):]
		for j, v := range row[:pivots] {
			at[4*int(place[j])] += v
		}
		to := c[q*stride:]
		rest := place[pivots : i+1]
		for j, v := range row[pivots:] {
			to[int(rest[j])-p.w] += v
		}
	}
}
