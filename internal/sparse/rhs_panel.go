package sparse

// sliverBlock is how many slivers are taken together on the way back through a
// panel, for all its columns: the rows that belong to them stay near.
const sliverBlock = 8

// storedBlock is where sliver t of the pivot block is stored, how many rows it
// has and how far apart its columns stand.
func (p panel) storedBlock(t int) (at, rows, ld int) {
	entries, rest := p.fullSlivers()
	switch {
	case t < p.w/4:
		return p.pivotSliver(t), 4, 4
	case p.packed():
		return entries, rest, rest
	}
	return entries, rest, 4
}

// storedBelow is where the rows below the pivot block are stored, how far
// apart their slivers stand, and the columns of the last one if it is not full.
func (p panel) storedBelow() (at, step, ld int) {
	if !p.packed() {
		return p.lowerSliver(0), 4 * p.paddedWidth(), 4
	}
	entries, rest := p.fullSlivers()
	return entries + rest*p.w, 4 * p.w, p.u % 4
}

// forwardRHS solves with the pivot block for the right-hand sides v, and
// subtracts what they contribute from the rows of y that are named. own counts
// from zero.
func (p panel) forwardRHS(l, v []float64, k int, y []float64, rows, own []int32) {
	for t := range p.blocks() {
		at, m, ld := p.storedBlock(t)
		subtractProduct(l[at:], 0, ld, 4*t, v, k, v, own[4*t:4*t+m])
		solveBlock(l[at+4*t*ld:], ld, m, v[4*t*k:], k)
	}
	at, step, ld := p.storedBelow()
	subtractProduct(l[at:], step, ld, p.w, v, k, y, rows)
}

// backwardRHS subtracts what the rows of y that are named contribute to v,
// and solves with the transposed pivot block.
func (p panel) backwardRHS(l, v []float64, k int, y []float64, rows, own []int32) {
	at, step, ld := p.storedBelow()
	for lo := 0; lo < p.u; lo += 4 * sliverBlock {
		some := rows[lo:min(lo+4*sliverBlock, p.u)]
		for t := range p.blocks() {
			subtractTransposed(l[at:], step, 0, ld, 4*t, min(4, p.w-4*t), v[4*t*k:], k, y, some)
		}
		at += sliverBlock * step
	}
	for hi := p.blocks(); hi > 0; {
		lo := (hi - 1) &^ (sliverBlock - 1)
		for t := hi - 1; t >= lo; t-- {
			at, m, ld := p.storedBlock(t)
			solveBlockBack(l[at+4*t*ld:], ld, m, v[4*t*k:], k)
			for s := lo; s < t; s++ {
				subtractTransposed(l[at:], 0, 0, ld, 4*s, 4, v[4*s*k:], k, v, own[4*t:4*t+m])
			}
		}
		for s := range lo {
			subtractTransposed(l[p.pivotSliver(lo):], 16*(lo+1), 16, 4, 4*s, 4, v[4*s*k:], k, v,
				own[4*lo:min(4*hi, p.w)])
		}
		hi = lo
	}
}
