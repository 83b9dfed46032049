package sparse

// All dense work is one operation on small blocks,
//
//	C[r][c] -= sum over k of A[4k+r] B[k*sb+c],   r < 4, c < 8 (or 4),
//
// because the factor is stored in "slivers": four rows side by side, column
// after column. A sliver serves as A as it stands, two slivers serve as the
// two halves of B, and so do eight right-hand sides laid in rows.

// tile8 does the block of eight columns. The halves of B start at b0 and b1,
// those of C at c0 and c1; sb and sc are the distances between their rows.
func tile8(k int, a, b0, b1 []float64, sb int, c0, c1 []float64, sc int) {
	if haveVector {
		if k > 0 {
			vectorTile8(k, &a[0], &b0[0], &b1[0], sb, &c0[0], &c1[0], sc)
		}
		return
	}
	plainTile4(k, a, b0, sb, c0, sc)
	plainTile4(k, a, b1, sb, c1, sc)
}

// tile4 does a block of four columns.
func tile4(k int, a, b []float64, sb int, c []float64, sc int) {
	if haveVector {
		if k > 0 {
			vectorTile4(k, &a[0], &b[0], sb, &c[0], sc)
		}
		return
	}
	plainTile4(k, a, b, sb, c, sc)
}

// plainTile4 keeps four sums in registers.
func plainTile4(k int, a, b []float64, sb int, c []float64, sc int) {
	for r := range 4 {
		var c0, c1, c2, c3 float64
		for i := range k {
			v, row := a[4*i+r], b[i*sb:][:4]
			c0 += v * row[0]
			c1 += v * row[1]
			c2 += v * row[2]
			c3 += v * row[3]
		}
		to := c[r*sc:][:4]
		to[0] -= c0
		to[1] -= c1
		to[2] -= c2
		to[3] -= c3
	}
}
