package parallel

import (
	"runtime"
	"sync/atomic"
	"testing"
)

// Every job runs once, and no more at once than there are cores.
func TestEach(t *testing.T) {
	for _, n := range []int{0, 1, 57} {
		done := make([]atomic.Int32, n)
		var now, most atomic.Int32
		Each(n, func(i int) {
			if v := now.Add(1); v > most.Load() {
				most.Store(v)
			}
			runtime.Gosched()
			done[i].Add(1)
			now.Add(-1)
		})
		for i := range done {
			if done[i].Load() != 1 {
				t.Errorf("%d jobs: job %d ran %d times", n, i, done[i].Load())
			}
		}
		if int(most.Load()) > runtime.GOMAXPROCS(0) {
			t.Errorf("%d jobs: %d at once", n, most.Load())
		}
	}
}
