package sparse

// panel is the layout of a supernode's part of L: w columns, of which the
// first w rows are the pivot block and u rows stand below.
//
// Rows lie in slivers of four, each sliver column after column:
//
//	pivot block, sliver t: columns 0 .. 4t+3 of rows 4t .. 4t+3
//	below,       sliver q: columns 0 .. padded-1 of rows 4q .. 4q+3
//
// where padded is w rounded up to a multiple of four. The columns between w and
// padded are those of a unit matrix, rows between u and its multiple are zero.
// In a factor the diagonal holds reciprocals, so that solving only multiplies.
type panel struct{ w, u int }

// blocks is how many slivers the pivot block has.
func (p panel) blocks() int { return (p.w + 3) / 4 }

// paddedWidth is the number of columns stored.
func (p panel) paddedWidth() int { return 4 * p.blocks() }

// slivers is how many slivers stand below the pivot block.
func (p panel) slivers() int { return (p.u + 3) / 4 }

// pivotSliver is where sliver t of the pivot block starts.
func (p panel) pivotSliver(t int) int { return 8 * t * (t + 1) }

// lowerSliver is where sliver q below the pivot block starts.
func (p panel) lowerSliver(q int) int { return p.pivotSliver(p.blocks()) + q*4*p.paddedWidth() }

// sliver counts through both kinds.
func (p panel) sliver(i int) int {
	if b := p.blocks(); i >= b {
		return p.lowerSliver(i - b)
	}
	return p.pivotSliver(i)
}

func (p panel) size() int { return p.lowerSliver(p.slivers()) }

// pivotRow is where row i of the pivot block would have its column 0; column
// j is 4j further.
func (p panel) pivotRow(i int) int { return p.pivotSliver(i/4) + i%4 }

// lowerRow is the same for row i below the pivot block.
func (p panel) lowerRow(i int) int { return p.lowerSliver(i/4) + i%4 }

// diagonal is where the diagonal entry of pivot column j stands.
func (p panel) diagonal(j int) int { return p.pivotRow(j) + 4*j }

// panelOf is the layout of node k.
func (s *Symbolic) panelOf(k int) panel {
	nd := &s.nodes[k]
	return panel{w: int(nd.width), u: int(nd.below)}
}

// updateStride is the length of a row of the update matrix of u rows: it is
// stored by rows, lower triangle only used, padded for blocks of 4 by 8.
func updateStride(u int) int { return (u + 7) &^ 7 }

// updateSize is the storage an update matrix of u rows takes.
func updateSize(u int) int { return ((u + 3) &^ 3) * updateStride(u) }

// triangleSize is the storage its lower triangle takes alone.
func triangleSize(u int) int { return u * (u + 1) / 2 }

// maxPackedWidth is up to which width a panel is stored packed, if that saves a
// sixteenth: without the columns and rows that fill blocks of four. It is
// unpacked to be worked on.
const maxPackedWidth = 32

// fullSlivers is how many entries the pivot block's full slivers have, and how
// many rows stand in its last one, if that is not full.
func (p panel) fullSlivers() (entries, rows int) { return p.pivotSliver(p.w / 4), p.w % 4 }

// packedSize is the size when stored packed.
func (p panel) packedSize() int {
	entries, rows := p.fullSlivers()
	return entries + rows*p.w + p.u*p.w
}

// packed tells whether the panel is stored packed.
func (p panel) packed() bool { return p.w <= maxPackedWidth && 16*p.packedSize() <= 15*p.size() }

// storedSize is how many numbers the panel takes in the factor.
func (p panel) storedSize() int {
	if p.packed() {
		return p.packedSize()
	}
	return p.size()
}

// storedPivot is where row i, column j of the pivot block is stored.
func (p panel) storedPivot(i, j int) int {
	entries, rows := p.fullSlivers()
	if first := p.w - rows; p.packed() && i >= first {
		return entries + rows*j + i - first
	}
	return p.pivotRow(i) + 4*j
}

// storedLower is the same for row i below the pivot block.
func (p panel) storedLower(i, j int) int {
	if !p.packed() {
		return p.lowerRow(i) + 4*j
	}
	entries, rows := p.fullSlivers()
	base, last := entries+rows*p.w, p.u%4
	if first := p.u - last; i >= first {
		return base + first*p.w + last*j + i - first
	}
	return base + i/4*4*p.w + 4*j + i%4
}

// unpack writes the padded form of a packed panel.
func (p panel) unpack(padded, from []float64) {
	entries, rows := p.fullSlivers()
	copy(padded[:entries], from)
	from = from[entries:]
	if rows > 0 {
		from = unpackSliver(padded[entries:p.lowerSliver(0)], from, rows, p.w)
		for j := p.w; j < p.paddedWidth(); j++ {
			padded[p.diagonal(j)] = 1
		}
	}
	for q := range p.u / 4 {
		sliver := padded[p.lowerSliver(q):][:4*p.paddedWidth()]
		copy(sliver[:4*p.w], from)
		clear(sliver[4*p.w:])
		from = from[4*p.w:]
	}
	if last := p.u % 4; last > 0 {
		unpackSliver(padded[p.lowerSliver(p.u/4):p.size()], from, last, p.w)
	}
}

// unpackSliver makes a sliver of rows short of four. It returns what is left of from.
func unpackSliver(sliver, from []float64, rows, columns int) []float64 {
	clear(sliver)
	for j := range columns {
		copy(sliver[4*j:4*j+rows], from)
		from = from[rows:]
	}
	return from
}

// pack is the reverse of unpack.
func (p panel) pack(to, padded []float64) {
	entries, rows := p.fullSlivers()
	copy(to, padded[:entries])
	to = packSliver(to[entries:], padded[entries:], rows, p.w)
	for q := range p.u / 4 {
		copy(to, padded[p.lowerSliver(q):][:4*p.w])
		to = to[4*p.w:]
	}
	if last := p.u % 4; last > 0 {
		packSliver(to, padded[p.lowerSliver(p.u/4):], last, p.w)
	}
}

// packSliver is the reverse of widen.
func packSliver(to, sliver []float64, rows, columns int) []float64 {
	if rows == 0 {
		return to
	}
	for j := range columns {
		copy(to[:rows], sliver[4*j:])
		to = to[rows:]
	}
	return to
}
