package sparse

import (
	"slices"
	"sync"
)

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

// pool keeps the update matrices that wait outside of their tasks, and storage
// that was used for what will need some next.
type pool struct {
	lock sync.Mutex
	held map[int32][]float64 // by node
	free [][]float64
}

// get returns n numbers, of any value, for a node: of what is free the least
// that is enough.
func (p *pool) get(node int32, n int) []float64 {
	p.lock.Lock()
	defer p.lock.Unlock()
	best := -1
	for i, f := range p.free {
		if cap(f) >= n && (best < 0 || cap(f) < cap(p.free[best])) {
			best = i
		}
	}
	if p.held == nil {
		p.held = map[int32][]float64{}
	}
	if best < 0 {
		p.held[node] = make([]float64, n)
	} else {
		p.held[node] = p.free[best][:n]
		p.free = slices.Delete(p.free, best, best+1)
	}
	return p.held[node]
}

// of is what a node was given.
func (p *pool) of(node int32) []float64 {
	p.lock.Lock()
	defer p.lock.Unlock()
	return p.held[node]
}

// put takes it back.
func (p *pool) put(node int32) {
	p.lock.Lock()
	defer p.lock.Unlock()
	p.free = append(p.free, p.held[node])
	delete(p.held, node)
}
