package sparse

// room is where one task keeps what it needs: one whole update matrix being
// made, and packed those that wait for their parents. As nodes are eliminated
// in postorder, those that a node takes were the last to be put down: the
// waiting ones are a stack.
type room struct {
	whole   []float64
	waiting []float64
	used    int // of waiting
	small   []float64

	widest, deepest int // how long whole and waiting must be
}

// prepare notes how much room nodes lo .. hi-1 need, if that is more than
// before; make then provides it.
func (r *room) prepare(s *Symbolic, lo, hi int) {
	used := 0
	for k := lo; k < hi; k++ {
		u := s.panelOf(k).u
		r.widest = max(r.widest, updateSize(u))
		used -= s.taken(k, lo)
		if !s.waits(k) {
			used += packedSize(u)
		}
		r.deepest = max(r.deepest, used)
	}
}

// make provides the room that was prepared, empty.
func (r *room) make() {
	if len(r.whole) < r.widest {
		r.whole = make([]float64, r.widest)
	}
	if len(r.waiting) < r.deepest {
		r.waiting = make([]float64, r.deepest)
	}
	r.used = 0
}

// taken is the storage on the stack of the children that node k takes from
// it: those from node lo on.
func (s *Symbolic) taken(k, lo int) int {
	size := 0
	for _, c := range s.nodes[k].children {
		if int(c) >= lo {
			size += packedSize(s.panelOf(int(c)).u)
		}
	}
	return size
}

// waits tells whether node k is the last of a subtree in a task: its update
// matrix then waits for the top of the tree.
func (s *Symbolic) waits(k int) bool { return k < s.top && int(s.nodes[k].parent) >= s.top }

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
