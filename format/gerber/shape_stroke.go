package gerber

import (
	"slices"

	"ohmward/geom"
)

// sweep gives what a shape (rings about the origin) covers when moved in a
// straight line from a to b, for non-zero filling.
func sweep(shape []geom.Ring, convex bool, a, b geom.Point) []geom.Ring {
	if a == b {
		return move(shape, a)
	}
	if convex {
		return []geom.Ring{geom.Hull(slices.Concat(move(shape, a)[0], move(shape, b)[0]))}
	}
	// A place is covered if it is covered at either end, or if some edge of
	// the shape passes over it. Every ring below counts zero or more in total
	// at every place, so none opens what another covers.
	out := slices.Concat(move(shape, a), move(shape, b))
	dx, dy := b.X-a.X, b.Y-a.Y
	for _, ring := range shape {
		for i, p := range ring {
			q := ring[(i+1)%len(ring)]
			p, q = geom.Point{X: p.X + a.X, Y: p.Y + a.Y}, geom.Point{X: q.X + a.X, Y: q.Y + a.Y}
			side := geom.Ring{p, q, {X: q.X + dx, Y: q.Y + dy}, {X: p.X + dx, Y: p.Y + dy}}
			if side.Area() != 0 {
				out = append(out, ccw(side))
			}
		}
	}
	return out
}
