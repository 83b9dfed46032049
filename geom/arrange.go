package geom

// Arrange cuts segments where they cross or touch, rounds the cuts to
// nanometres by snap rounding and merges what falls together. Points are
// distinct and ascending by x, then y; edges are distinct pairs of points in
// ascending order; source lists for every edge, ascending, the indices of the
// segments that run along it. Segments of no length leave only their point,
// if another segment passes there.
func Arrange(segs []Segment) (points []Point, edges [][2]int32, source [][]int32) {
	var in intake
	for i, s := range segs {
		at := int32(len(in.points))
		in.points = append(in.points, clampPoint(s.A), clampPoint(s.B))
		in.pieces = append(in.pieces, piece{at, at + 1, int32(i), 1})
	}
	n := snap(in.network(true), true, nil)
	used := make([]int32, len(n.pts))
	for e := range n.u {
		used[n.u[e]], used[n.v[e]] = 1, 1
	}
	for i, u := range used {
		used[i] = int32(len(points))
		if u == 1 {
			points = append(points, n.pts[i])
		}
	}
	edges = make([][2]int32, n.edges())
	source = make([][]int32, n.edges())
	for e := range edges {
		edges[e] = [2]int32{used[n.u[e]], used[n.v[e]]}
		source[e] = n.ch[n.off[e]:n.off[e+1]:n.off[e+1]]
	}
	return points, edges, source
}
