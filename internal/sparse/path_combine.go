package sparse

import "slices"

// Combine gives the path of the weighted sum of the vectors whose paths are
// given. All must come from one factor.
func Combine(paths []Path, weight []float64) Path {
	if len(paths) == 1 && weight[0] == 1 {
		return paths[0]
	}
	for _, p := range paths {
		if p.whole != nil {
			return combineWhole(paths, weight)
		}
	}
	var sum Path
	for _, p := range paths {
		if sum.node = append(sum.node, p.node...); p.factor != nil {
			sum.factor = p.factor
		}
	}
	if sum.factor == nil {
		return sum
	}
	slices.Sort(sum.node)
	sum.node = slices.Compact(sum.node)
	sum.makeRoom()
	for i := range paths {
		p, at := &paths[i], 0
		for k, node := range p.node {
			for sum.node[at] != node {
				at++
			}
			to := sum.segment(at)
			for j, v := range p.segment(k) {
				to[j] += weight[i] * v
			}
		}
	}
	return sum
}
