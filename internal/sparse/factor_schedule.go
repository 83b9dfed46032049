package sparse

import (
	"runtime"
	"sort"
	"sync"
)

// schedule hands out a factorisation's work to the cores: the tasks in
// sequence, and each node of the top of the tree, before any further task, as
// soon as those below it are done. What waits to be taken by a parent stays
// little so.
type schedule struct {
	s       *Symbolic
	lock    sync.Mutex
	changed *sync.Cond

	dependents [][]int32 // of each task, the top nodes that wait for it
	pending    []int32   // of each top node, the tasks and nodes it waits for
	failed     []bool    // of each top node: something below it failed
	ready      []int32   // top nodes that wait for nothing
	next       int       // task
	remaining  int       // tasks and top nodes not done
	column     int32     // the first that failed, -1 if none has
}

func newSchedule(s *Symbolic) *schedule {
	top := len(s.nodes) - s.top
	q := &schedule{s: s, dependents: make([][]int32, len(s.tasks)), pending: make([]int32, top),
		failed: make([]bool, top), remaining: len(s.tasks) + top, column: -1}
	q.changed = sync.NewCond(&q.lock)
	for k := s.top; k < len(s.nodes); k++ {
		last := -1
		for _, c := range s.children(k) {
			if int(c) >= s.top {
				q.pending[k-s.top]++
			} else if t := s.taskOf(c); t != last {
				q.pending[k-s.top]++
				q.dependents[t] = append(q.dependents[t], int32(k))
				last = t
			}
		}
		if q.pending[k-s.top] == 0 {
			q.ready = append(q.ready, int32(k))
		}
	}
	return q
}

// taskOf is the task that a node below the top belongs to.
func (s *Symbolic) taskOf(k int32) int {
	return sort.Search(len(s.tasks), func(t int) bool { return s.tasks[t].hi > int(k) })
}

// take gives the next task, or (with task -1) the next node of the top. It
// waits for one, and reports false when all is done.
func (q *schedule) take() (task int, node int32, ok bool) {
	q.lock.Lock()
	defer q.lock.Unlock()
	for {
		switch last := len(q.ready) - 1; {
		case last >= 0:
			node = q.ready[last]
			q.ready = q.ready[:last]
			return -1, node, true
		case q.next < len(q.s.tasks):
			q.next++
			return q.next - 1, -1, true
		case q.remaining == 0:
			return 0, 0, false
		}
		q.changed.Wait()
	}
}

// done reports that a task or a node was done, or at which column it failed.
func (q *schedule) done(task int, node, failed int32) {
	q.lock.Lock()
	defer q.lock.Unlock()
	q.finish(failed)
	if task >= 0 {
		for _, k := range q.dependents[task] {
			q.childDone(k, failed >= 0)
		}
	} else {
		q.childDone(q.s.nodes[node].parent, failed >= 0)
	}
	q.changed.Broadcast()
}

func (q *schedule) finish(failed int32) {
	q.remaining--
	if failed >= 0 && (q.column < 0 || failed < q.column) {
		q.column = failed
	}
}

// childDone tells node k that one of those it waits for is done. Above a failure
// nothing is tried any more.
func (q *schedule) childDone(k int32, failed bool) {
	for k >= 0 {
		at := int(k) - q.s.top
		q.pending[at]--
		q.failed[at] = q.failed[at] || failed
		if q.pending[at] > 0 {
			return
		}
		if !q.failed[at] {
			q.ready = append(q.ready, k)
			return
		}
		q.finish(-1)
		k, failed = q.s.nodes[k].parent, true
	}
}

// arenaSize is the pool's size from the beginning, in numbers.
func (s *Symbolic) arenaSize() int { return runtime.GOMAXPROCS(0) * s.sequentialPoolSize() }

// poolSize is how many numbers of update matrices wait between tasks and
// nodes of the top at most.
func (s *Symbolic) poolSize() int {
	size, cores := s.arenaSize(), runtime.GOMAXPROCS(0)
	if cores == 1 {
		return size
	}
	q := newSchedule(s)
	all, most := 0, 0
	// What a task or node in work may keep waiting are the children of those
	// above it, all the way up.
	stored := make([]int, len(s.nodes)-s.top)
	for k := len(s.nodes) - 1; k >= s.top; k-- {
		sum := 0
		for _, c := range s.children(k) {
			sum += triangleSize(s.panelOf(int(c)).u)
		}
		all += sum
		if p := int(s.nodes[k].parent); p >= 0 {
			sum += stored[p-s.top]
		}
		stored[k-s.top] = sum
		most = max(most, sum)
	}
	for _, above := range q.dependents {
		sum := 0
		for _, k := range above {
			sum += stored[int(k)-s.top]
		}
		most = max(most, sum)
	}
	return max(size, min(all, (cores+1)*most))
}
