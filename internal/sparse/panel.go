package sparse

// panel is the layout of a supernode's part of L: w columns, of which the
// first w rows are the pivot block and u rows stand below.
//
// Rows lie in slivers of four, each sliver column after column:
//
//	pivot block, sliver t: columns 0 .. 4t+3 of rows 4t .. 4t+3
//	below,       sliver q: columns 0 .. wide-1 of rows 4q .. 4q+3
//
// where wide is w rounded up to a multiple of four. The columns between w and
// wide are those of a unit matrix, rows between u and its multiple are zero.
// In a factor the diagonal holds reciprocals, so that solving only multiplies.
type panel struct{ w, u int }

// blocks is how many slivers the pivot block has.
func (p panel) blocks() int { return (p.w + 3) / 4 }

// wide is the number of columns stored.
func (p panel) wide() int { return 4 * p.blocks() }

// slivers is how many slivers stand below the pivot block.
func (p panel) slivers() int { return (p.u + 3) / 4 }

// pivotSliver is where sliver t of the pivot block starts.
func (p panel) pivotSliver(t int) int { return 8 * t * (t + 1) }

// lowerSliver is where sliver q below the pivot block starts.
func (p panel) lowerSliver(q int) int { return p.pivotSliver(p.blocks()) + q*4*p.wide() }

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

// packedSize is the storage its lower triangle takes alone.
func packedSize(u int) int { return u * (u + 1) / 2 }
