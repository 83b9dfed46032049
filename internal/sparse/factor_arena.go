package sparse

import (
	"math"
	"slices"
	"sync"
)

// arena hands out intervals of one long array, always the first that is long
// enough, so that what is in use stays together at its beginning.
type arena struct {
	free []interval // ascending, no two touching
	peak int        // end of what was ever in use
}

type interval struct{ lo, hi int }

func newArena(size int) *arena { return &arena{free: []interval{{0, size}}} }

// alloc gives the place of n numbers, or reports that there is none.
func (a *arena) alloc(n int) (lo int, ok bool) {
	for i := range a.free {
		if f := &a.free[i]; f.hi-f.lo >= n {
			lo = f.lo
			if f.lo += n; f.lo == f.hi {
				a.free = slices.Delete(a.free, i, i+1)
			}
			a.peak = max(a.peak, lo+n)
			return lo, true
		}
	}
	return 0, false
}

// release takes the n numbers at lo back.
func (a *arena) release(lo, n int) {
	if n == 0 {
		return
	}
	i := 0
	for i < len(a.free) && a.free[i].lo < lo {
		i++
	}
	a.free = slices.Insert(a.free, i, interval{lo, lo + n})
	if i+1 < len(a.free) && a.free[i+1].lo == lo+n {
		a.free[i].hi = a.free[i+1].hi
		a.free = slices.Delete(a.free, i+1, i+2)
	}
	if i > 0 && a.free[i-1].hi == lo {
		a.free[i-1].hi = a.free[i].hi
		a.free = slices.Delete(a.free, i, i+1)
	}
}

// updatePool keeps the update matrices that wait outside of their tasks. They lie in
// an arena as far as it goes; what does not fit there is allocated apart.
type updatePool struct {
	lock   sync.Mutex
	arena  *arena
	buffer []float64
	held   map[int32]pooledUpdate // by node
}

type pooledUpdate struct {
	values []float64
	lo     int // in the arena, -1: not there
}

func newUpdatePool(s *Symbolic) *updatePool {
	size := s.arenaSize()
	return &updatePool{arena: newArena(size), buffer: make([]float64, size), held: map[int32]pooledUpdate{}}
}

// get returns n numbers, of any value, for a node.
func (p *updatePool) get(node int32, n int) []float64 {
	p.lock.Lock()
	defer p.lock.Unlock()
	if lo, ok := p.arena.alloc(n); ok {
		p.held[node] = pooledUpdate{p.buffer[lo : lo+n], lo}
	} else {
		p.held[node] = pooledUpdate{make([]float64, n), -1}
	}
	return p.held[node].values
}

// values is what a node was given.
func (p *updatePool) values(node int32) []float64 {
	p.lock.Lock()
	defer p.lock.Unlock()
	return p.held[node].values
}

// put takes it back.
func (p *updatePool) put(node int32) {
	p.lock.Lock()
	defer p.lock.Unlock()
	if h := p.held[node]; h.lo >= 0 {
		p.arena.release(h.lo, len(h.values))
	}
	delete(p.held, node)
}

// sequentialPoolSize is the arena's size that one core needs, going through the
// schedule.
func (s *Symbolic) sequentialPoolSize() int {
	q, a, at := newSchedule(s), newArena(math.MaxInt), map[int32]int{}
	for {
		t, k, ok := q.take()
		if !ok {
			return a.peak
		}
		lo, hi := int(k), int(k)+1
		if t >= 0 {
			lo, hi = s.tasks[t].lo, s.tasks[t].hi
		}
		for node := lo; node < hi; node++ {
			if !s.pooled(node) {
				continue
			}
			if node >= s.top {
				for _, c := range s.children(node) {
					a.release(at[c], triangleSize(s.panelOf(int(c)).u))
				}
			}
			at[int32(node)], _ = a.alloc(triangleSize(s.panelOf(node).u))
		}
		q.done(t, k, -1)
	}
}
