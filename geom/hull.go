package geom

import "slices"

// Hull is the convex hull of some points, counter-clockwise, by Andrew's
// monotone chain; fewer than three different points are given as they are. It
// sorts the points in place.
func Hull(points []Point) Ring {
	slices.SortFunc(points, comparePoints)
	points = slices.Compact(points)
	if len(points) < 3 {
		return slices.Clone(points)
	}
	chain := func(ps []Point) Ring {
		var c Ring
		for _, p := range ps {
			for len(c) >= 2 && Orient(c[len(c)-2], c[len(c)-1], p) <= 0 {
				c = c[:len(c)-1]
			}
			c = append(c, p)
		}
		return c[:len(c)-1]
	}
	lower := chain(points)
	slices.Reverse(points)
	return append(lower, chain(points)...)
}
