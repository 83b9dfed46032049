package sparse

import "math"

// minSplitFlops is the work (flops) below which one task does it all.
const minSplitFlops = 3e6

// maxTaskShare is the greatest part of the whole work that one task may be.
const maxTaskShare = 1.0 / 24

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
	limit := total * maxTaskShare
	if total < minSplitFlops {
		limit = math.Inf(1)
	}
	sequence, top := make([]int32, 0, left), make([]int32, 0)
	current := task{}
	finish := func() {
		if current.hi = len(sequence); current.hi > current.lo {
			s.tasks = append(s.tasks, current)
		}
		current = task{lo: len(sequence)}
	}
	for _, i := range postorder(parent) {
		switch {
		case groups[i].merged:
		case work[i] > limit:
			top = append(top, i)
		default:
			sequence = append(sequence, i)
			current.flops += groups[i].flops
			if p := parent[i]; (p < 0 || work[p] > limit) && current.flops > total*maxTaskShare/4 {
				finish()
			}
		}
	}
	finish()
	s.top = len(sequence)
	return append(sequence, top...)
}
