package sparse

// Combine gives the path of the weighted sum of the vectors whose paths are
// given. All must come from one factor.
func Combine(paths []Path, weight []float64) Path {
	for _, p := range paths {
		if p.whole != nil {
			return combineWhole(paths, weight)
		}
	}
	var sum Path
	at := make([]int, len(paths))
	for {
		node, more := int32(0), false
		for i, p := range paths {
			if at[i] < len(p.node) && (!more || p.node[at[i]] < node) {
				node, more = p.node[at[i]], true
			}
		}
		if !more {
			break
		}
		first := len(sum.value)
		for i := range paths {
			p := &paths[i]
			if at[i] == len(p.node) || p.node[at[i]] != node {
				continue
			}
			values := p.segment(at[i])
			at[i]++
			if len(sum.value) == first {
				sum.factor = p.factor
				sum.node = append(sum.node, node)
				sum.start = append(sum.start, int32(first))
				sum.value = append(sum.value, make([]float64, len(values))...)
			}
			for k, v := range values {
				sum.value[first+k] += weight[i] * v
			}
		}
	}
	if len(sum.node) > 0 {
		sum.start = append(sum.start, int32(len(sum.value)))
	}
	return sum
}
