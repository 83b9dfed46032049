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

// plainTile4 keeps the sixteen sums in registers as far as there are any.
func plainTile4(k int, a, b []float64, sb int, c []float64, sc int) {
	if k <= 0 {
		return
	}
	var c00, c01, c02, c03, c10, c11, c12, c13 float64
	var c20, c21, c22, c23, c30, c31, c32, c33 float64
	a = a[:4*k]
	for len(a) >= 4 {
		b0, b1, b2, b3 := b[0], b[1], b[2], b[3]
		v := a[0]
		c00 += v * b0
		c01 += v * b1
		c02 += v * b2
		c03 += v * b3
		v = a[1]
		c10 += v * b0
		c11 += v * b1
		c12 += v * b2
		c13 += v * b3
		v = a[2]
		c20 += v * b0
		c21 += v * b1
		c22 += v * b2
		c23 += v * b3
		v = a[3]
		c30 += v * b0
		c31 += v * b1
		c32 += v * b2
		c33 += v * b3
		a = a[4:]
		if len(a) == 0 {
			break
		}
		b = b[sb:]
	}
	subtract4(c, c00, c01, c02, c03)
	subtract4(c[sc:], c10, c11, c12, c13)
	subtract4(c[2*sc:], c20, c21, c22, c23)
	subtract4(c[3*sc:], c30, c31, c32, c33)
}

func subtract4(c []float64, v0, v1, v2, v3 float64) {
	c = c[:4]
	c[0] -= v0
	c[1] -= v1
	c[2] -= v2
	c[3] -= v3
}
