package sparse

import (
	"runtime"
	"sync"
	"sync/atomic"
)

// each runs f(0) .. f(n-1), in any order, on the cores there are.
func each(n int, f func(i int)) {
	workers := min(runtime.GOMAXPROCS(0), n)
	if workers <= 1 {
		alone(n, f)
		return
	}
	var next atomic.Int64
	var wait sync.WaitGroup
	work := func() {
		for {
			i := int(next.Add(1)) - 1
			if i >= n {
				return
			}
			f(i)
		}
	}
	for range workers - 1 {
		wait.Go(work)
	}
	work()
	wait.Wait()
}

// alone does the same on one core.
func alone(n int, f func(i int)) {
	for i := range n {
		f(i)
	}
}

// together runs two things at once.
func together(f, g func()) {
	each(2, func(i int) {
		if i == 0 {
			f()
		} else {
			g()
		}
	})
}

// inRuns does 0 .. n-1 on the cores there are, a run lo .. hi-1 at a time.
func inRuns(n int, f func(lo, hi int)) {
	const run = 1 << 16
	each((n+run-1)/run, func(i int) { f(i*run, min((i+1)*run, n)) })
}
