package sparse

// factorWorkspace is one worker's: the update matrix being made, and a stack of
// the packed ones that wait for their parents in the same task (nodes are
// eliminated in postorder, so a node pops those that were pushed last).
type factorWorkspace struct {
	update   []float64 // see updateSize
	stack    []float64 // lower triangles, packed
	top      int       // of the stack
	pivots   []float64 // smallest that count as positive
	unpacked []float64 // the panel, if it is stored packed
	relative []int32   // of a child's rows in the parent
}

// newFactorWorkspace makes one large enough for any node.
func newFactorWorkspace(s *Symbolic) *factorWorkspace {
	widest, deepest := s.workspaceSizes()
	return &factorWorkspace{update: make([]float64, widest), stack: make([]float64, deepest),
		unpacked: make([]float64, s.maxUnpacked)}
}

// workspaceSizes are the lengths that update and stack need.
func (s *Symbolic) workspaceSizes() (widest, deepest int) {
	for k := range s.nodes {
		widest = max(widest, updateSize(s.panelOf(k).u))
	}
	for _, t := range s.tasks {
		used := 0
		for k := t.lo; k < t.hi; k++ {
			used += s.stackPush(k) - s.stackPop(k)
			deepest = max(deepest, used)
		}
	}
	return widest, deepest
}

// stackPush is how many numbers node k pushes.
func (s *Symbolic) stackPush(k int) int {
	if s.pooled(k) {
		return 0
	}
	return triangleSize(s.panelOf(k).u)
}

// stackPop is how many numbers node k pops.
func (s *Symbolic) stackPop(k int) int {
	size := 0
	for _, c := range s.children(k) {
		size += s.stackPush(int(c))
	}
	return size
}

// pooled tells whether the update matrix of node k outlives its task, in the
// pool: the node is the last of a subtree in a task, or in the top of the tree.
func (s *Symbolic) pooled(k int) bool { return int(s.nodes[k].parent) >= s.top || k >= s.top }

// push returns the next n numbers of the stack.
func (r *factorWorkspace) push(n int) []float64 {
	r.top += n
	return r.stack[r.top-n : r.top]
}

// minPivots returns n zeros.
func (r *factorWorkspace) minPivots(n int) []float64 {
	if cap(r.pivots) < n {
		r.pivots = make([]float64, 2*n)
	}
	out := r.pivots[:n]
	clear(out)
	return out
}
