package sparse

import "math"

// leastParallel is the work (flops) below which one task does it all.
const leastParallel = 3e6

// taskShare is the greatest part of the whole work that one task may be.
const taskShare = 1.0 / 24

// cutTasks splits the tree into tasks of whole subtrees of about equal work
// and a top, independently of the number of cores. It returns the groups that
// are left in their final sequence, tasks first, each in postorder.
func (s *Symbolic) cutTasks(groups []group) []int32 {
	n := len(groups)
	work := make([]float64, n) // of each subtree
	parent := make([]int32, n)
	children := make([]int32, n)
	total, left := 0.0, 0
	for i := range groups {
		parent[i] = groups[i].parent
		if groups[i].merged {
			continue
		}
		left++
		total += groups[i].flops
		work[i] += groups[i].flops
		if p := parent[i]; p >= 0 {
			work[p] += work[i]
			children[p]++
		}
	}
	limit := total * taskShare
	if total < leastParallel {
		limit = math.Inf(1)
	}
	sequence, top := make([]int32, 0, left), make([]int32, 0)
	open := task{}
	shut := func() {
		if open.hi = len(sequence); open.hi > open.lo {
			s.tasks = append(s.tasks, open)
		}
		open = task{lo: len(sequence)}
	}
	for _, i := range postorder(parent) {
		switch {
		case groups[i].merged:
		case work[i] > limit:
			top = append(top, i)
		default:
			sequence = append(sequence, i)
			open.flops += groups[i].flops
			if p := parent[i]; (p < 0 || work[p] > limit) && open.flops > total*taskShare/4 {
				shut()
			}
		}
	}
	shut()
	s.top = len(sequence)
	return append(sequence, top...)
}
