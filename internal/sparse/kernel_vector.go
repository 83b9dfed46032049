package sparse

// vectorTile8 is tile8 for k > 0; it reads and writes exactly what the
// formula there names.
//
//go:noescape
func vectorTile8(k int, a, b0, b1 *float64, sb int, c0, c1 *float64, sc int)

// vectorTile4 is tile4 for k > 0.
//
//go:noescape
func vectorTile4(k int, a, b *float64, sb int, c *float64, sc int)
