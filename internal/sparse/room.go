package sparse

// room is where one core keeps what it needs: one whole update matrix being
// made, and packed those that wait for their parents in the same task. As
// nodes are eliminated in postorder, those that a node takes were the last to
// be put down: the waiting ones are a stack.
type room struct {
	whole   []float64
	waiting []float64
	used    int // of waiting
	small   []float64
	panel   []float64 // one that is stored close, opened
	places  []int32   // of a child's rows in the parent
}

// newRoom makes a room for all tasks and nodes of the top.
func newRoom(s *Symbolic) *room {
	widest, deepest := s.roomSizes()
	return &room{whole: make([]float64, widest), waiting: make([]float64, deepest), panel: make([]float64, s.opened)}
}

// roomSizes is how long whole and waiting must be.
func (s *Symbolic) roomSizes() (widest, deepest int) {
	for k := range s.nodes {
		widest = max(widest, updateSize(s.panelOf(k).u))
	}
	for _, t := range s.tasks {
		used := 0
		for k := t.lo; k < t.hi; k++ {
			used += s.pushed(k) - s.taken(k)
			deepest = max(deepest, used)
		}
	}
	return widest, deepest
}

// pushed is what node k puts on the stack.
func (s *Symbolic) pushed(k int) int {
	if s.waits(k) {
		return 0
	}
	return packedSize(s.panelOf(k).u)
}

// taken is what node k takes from the stack.
func (s *Symbolic) taken(k int) int {
	size := 0
	for _, c := range s.children(k) {
		size += s.pushed(int(c))
	}
	return size
}

// waits tells whether the update matrix of node k waits outside of its task:
// the node is the last of a subtree in a task, or in the top of the tree.
func (s *Symbolic) waits(k int) bool { return int(s.nodes[k].parent) >= s.top || k >= s.top }

// push returns the next n numbers of the stack.
func (r *room) push(n int) []float64 {
	r.used += n
	return r.waiting[r.used-n : r.used]
}

// least returns n zeros.
func (r *room) least(n int) []float64 {
	if cap(r.small) < n {
		r.small = make([]float64, 2*n)
	}
	out := r.small[:n]
	clear(out)
	return out
}
