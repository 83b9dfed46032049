// Package parallel runs independent jobs on all cores.
package parallel

import (
	"runtime"
	"sync"
)

// Each runs jobs 0 to n-1, at any time no more of them than there are cores,
// since each may need much memory. It returns when all are done.
func Each(n int, job func(i int)) {
	work := make(chan int)
	var wait sync.WaitGroup
	for range min(n, runtime.GOMAXPROCS(0)) {
		wait.Go(func() {
			for i := range work {
				job(i)
			}
		})
	}
	for i := range n {
		work <- i
	}
	close(work)
	wait.Wait()
}
